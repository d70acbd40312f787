"""A lot on the scale as a whole: its book counts what happened after the count, however late anything is told."""

from __future__ import annotations

from datetime import timedelta
from itertools import permutations

import pytest

from flatstock.records import Store, lots
from flatstock.records.book import weighed_since_count
from flatstock.running.event import Event
from tests.records.some import MONDAY, a_lot, a_weighing, an_event

HOUR = timedelta(hours=1)
BEFORE = a_weighing("W-1", mass=10.0, at=MONDAY + HOUR)
AFTER = a_weighing("W-2", mass=7.0, at=MONDAY + 3 * HOUR, sheet="B-015")


def a_count(mass: float) -> Event:
    facts = {"lot": "L-1", "mass_kg": mass}
    return an_event("C", kind="counted", sheet=None, place=None, at=MONDAY + 2 * HOUR, facts=facts)


def book(store: Store) -> float:
    with store.reading() as db:
        return lots.state_of(db, "L-1").mass


@pytest.mark.parametrize("told", list(permutations([BEFORE, a_count(80.0), AFTER])))
def test_a_count_and_weighings_give_one_book_in_whatever_order_they_are_told(
    store: Store, told: tuple[Event, ...]
) -> None:
    a_lot(store)
    for one in told:
        store.append([one])
    assert book(store) == pytest.approx(73.0)
    with store.reading() as db:
        assert weighed_since_count(db, "L-1") == (7.0,)


def test_a_weighing_from_before_a_count_is_undone_without_touching_what_was_counted(store: Store) -> None:
    a_lot(store)
    store.append([a_count(80.0)])
    store.append([BEFORE])
    store.append([an_event("U", kind="undone", facts={}, corrects="W-1", at=MONDAY + 4 * HOUR)])
    assert book(store) == pytest.approx(80.0)


def test_a_late_weighing_of_more_than_was_counted_leaves_the_count(store: Store) -> None:
    a_lot(store)
    store.append([a_count(5.0)])
    store.append([BEFORE])
    assert book(store) == pytest.approx(5.0)


def test_a_count_that_is_told_twice_is_one(store: Store) -> None:
    a_lot(store)
    store.append([a_count(80.0), AFTER])
    store.append([a_count(80.0)])
    assert book(store) == pytest.approx(73.0)
