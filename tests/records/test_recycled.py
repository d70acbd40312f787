"""How recycled a sheet is, by ISO 14021 (read at second hand)."""

import pytest

from flatstock.records import Store, recycled
from tests.records.some import a_lot, a_weighing, an_event


def test_own_trim_is_never_declared_as_recycled():
    """By hand: 70 post-consumer, 10 pre-consumer, 12 own trim, 8 virgin: 80.0 %; 90.9 % without trim."""
    content = recycled.content_of({"household": 70, "industry": 10, "own_regrind": 12, "virgin": 8})
    assert content.declared == pytest.approx(0.80)
    assert content.without_regrind == pytest.approx(0.909, abs=5e-4)


def test_what_nobody_knows_counts_as_not_recycled():
    assert recycled.content_of({"unknown": 5, "crates": 5}).declared == 0.5


def test_nothing_weighed_has_no_share():
    assert recycled.content_of({}).declared is None


def test_a_sheet_is_as_recycled_as_what_was_weighed_for_it_in_the_end(store: Store):
    a_lot(store, "L-1")
    store.append([a_weighing("a", "L-1", 10.0), a_weighing("b", "L-1", 5.0)])
    store.append([an_event("u", kind="undone", facts={}, corrects="b")])
    with store.reading() as db:
        content = recycled.content_of_sheet(db, "B-014")
        assert content.masses == {"post_consumer": 10.0}
        assert recycled.content_of_sheet(db, "B-015").declared is None
