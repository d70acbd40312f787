"""A lot on the scale as a whole: its book counts what happened after the count, however late anything is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.records import Store, lots, open_store
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


def undone(name: str, what: str) -> Event:
    return an_event(
        name, kind="undone", sheet=None, place=None, facts={}, corrects=what, at=MONDAY + 5 * HOUR
    )


def test_a_count_that_is_undone_after_a_late_weighing_leaves_what_was_booked_without_it(store: Store) -> None:
    a_lot(store)
    store.append([a_count(80.0)])
    store.append([BEFORE])
    assert book(store) == pytest.approx(80.0)
    store.append([undone("U", "C")])
    assert book(store) == pytest.approx(90.0)


def test_a_count_from_before_the_last_one_changes_nothing_however_late_it_is_told_or_undone(
    store: Store,
) -> None:
    a_lot(store)
    earlier = replace(a_count(50.0), id="C-0", at=MONDAY)
    for one in (a_count(80.0), AFTER, earlier):
        store.append([one])
    assert book(store) == pytest.approx(73.0)
    store.append([undone("U", "C-0")])
    assert book(store) == pytest.approx(73.0)
    with store.reading() as db:
        assert weighed_since_count(db, "L-1") == (7.0,)


@st.composite
def days(draw: st.DrawFn) -> list[Event]:
    """Weighings and counts of one lot in the order in which they are told, some of them undone."""
    told: list[Event] = []
    for n in range(draw(st.integers(1, 8))):
        mass, at = float(draw(st.integers(1, 60))), MONDAY + draw(st.integers(0, 5)) * HOUR
        if draw(st.booleans()):
            told.append(a_weighing(f"W-{n}", mass=mass, at=at, sheet=f"B-{n:03d}"))
        else:
            told.append(replace(a_count(mass), id=f"C-{n}", at=at))
        if draw(st.integers(0, 2)) == 0:
            left = {one.id for one in told} - {one.corrects for one in told}
            what = draw(st.sampled_from(sorted(one for one in left if not one.startswith("U"))))
            told.append(undone(f"U-{n}", what))
    return told


@given(told=days())
@settings(max_examples=25, deadline=None)
def test_a_book_holds_the_last_count_less_what_was_weighed_after_it_whatever_is_told_and_undone(
    told: list[Event],
) -> None:
    gone = {one.corrects for one in told}
    stands = [one for one in told if one.kind != "undone" and one.id not in gone]
    counts = [one for one in stands if one.kind == "counted"]
    last = max(counts, key=lambda one: (one.at, told.index(one)), default=None)
    weighed = (one for one in stands if one.kind == "weighed" and (last is None or one.at > last.at))
    begun = 100.0 if last is None else float(str(last.facts["mass_kg"]))
    with TemporaryDirectory() as folder, open_store(Path(folder)) as store:
        a_lot(store)
        for one in told:
            store.append([one])
        assert book(store) == pytest.approx(
            max(begun - sum(float(str(w.facts["mass_kg"])) for w in weighed), 0.0)
        )
