"""Bounds from how sheets share the supervised stays never exceed the best that trying everything finds."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.planning.problem.week import Site
from flatstock.planning.solve.in_turn import minutes_late, sheets_late, sheets_open
from flatstock.planning.solve.least import least_changeover, least_heat, least_late, least_missing
from flatstock.planning.solve.search import search
from tests.planning.proof.enumeration import best_of
from tests.planning.proof.test_enumeration import drawn
from tests.planning.proof.tiny import person, tiny_kind, tiny_week


def bounds_hold(week, best):
    late, minutes, missing, heat, changes = best
    assert sheets_late(week) <= late
    assert minutes_late(week) <= minutes
    assert sheets_open(week) <= missing
    assert least_late(week, seconds=5) <= late
    assert least_missing(week, late=int(late), seconds=5) <= missing
    assert least_heat(week, late=int(late), missing=int(missing), seconds=5) <= heat
    assert least_changeover(week, late=int(late), missing=int(missing), seconds=5) <= changes


@pytest.mark.parametrize("seed", [2, 3, 4, 8, 14])
def test_no_bound_exceeds_what_trying_everything_finds(seed):
    week = drawn(seed, sheets=2, end=19)
    best = best_of(week)
    bounds_hold(week, best)


@settings(max_examples=8, deadline=None)
@given(seed=st.integers(1000, 10**6), sheets=st.integers(2, 3), saws=st.booleans())
def test_no_bound_exceeds_a_plan_that_is_proven_the_best(seed, sheets, saws):
    week = drawn(seed, sheets=sheets, end=30)
    if saws:
        week = replace(week, people=(*week.people, person("D", (0, 30), skills=("saw",))))
    found = search(week, seconds=3)
    if found.status == "optimal":
        bounds_hold(week, tuple(level.value for level in found.levels))


def two_days(*, rest=3, frames=("F1",), sheets=3, cool=1):
    """Days of 30 minutes for two people, a night between."""
    kind = tiny_kind("dark", dwell=4, cool=cool, whole=60, rest={"R1": rest}, frames=frames)
    people = [person(name, (0, 30), (100, 130)) for name in "AB"]
    rack = Site(id="R1", kind="rack", capacity=4)
    return tiny_week([(kind, 130)] * sheets, end=130, people=people, stays=(rack,), frames=frames)


def test_a_frame_that_is_turned_once_a_day_asks_for_as_many_days_as_sheets():
    week = two_days(rest=15, sheets=2)
    up = round(week.heat_cost["HP1"][0] * 1000)
    assert least_heat(week, late=0, missing=0, seconds=5) >= 2 * up


def test_what_finds_no_turn_of_a_frame_is_known_to_be_left_out():
    assert least_missing(two_days(rest=15, sheets=4), late=4, seconds=5) == 2


def test_one_more_frame_never_raises_a_bound():
    for sheets in range(1, 6):
        one, two = two_days(sheets=sheets), two_days(sheets=sheets, frames=("F1", "F2"))
        assert least_missing(two, late=9, seconds=5) <= least_missing(one, late=9, seconds=5)


def test_a_later_due_date_never_raises_the_bound_on_late_sheets():
    week = two_days(sheets=4)
    sooner = replace(
        week, sheets=tuple(replace(one, due=random.Random(1).randint(20, 40)) for one in week.sheets)
    )
    assert least_late(week, seconds=5) <= least_late(sooner, seconds=5)


def test_what_finds_no_turn_of_a_frame_is_known_to_be_late_and_by_how_much():
    week = two_days(rest=15, sheets=4)
    assert sheets_late(week) == sheets_open(week) == 2
    assert minutes_late(week) == 2 * 24 * 60  # left out: a day after the end


def test_two_presses_full_of_one_kind_leave_the_rest_late():
    kind = tiny_kind("dark", dwell=8, cool=1, whole=1, presses=("HP1", "HP2"), frames=tuple("abcdefgh"))
    people = [person(name, (0, 100)) for name in "ABCD"]
    week = tiny_week(
        [(kind, 36)] * 8, end=100, people=people, presses=("HP1", "HP2"), coolers=("CP1", "CP2"),
        frames=tuple("abcdefgh"), skins=tuple("stuvwxyz"), benches=4,
    )  # fmt: skip
    # two presses take ten minutes a mould: by the clock of both the seventh leaves at 2 + 35 and the eighth at 2 + 40,
    # and each has two minutes more to cool and to be demoulded
    assert sheets_late(week) == 2
    assert minutes_late(week) == (37 + 2 - 36) + (42 + 2 - 36)


def test_what_there_is_no_flake_for_is_known_to_be_left_out_and_late():
    kind = tiny_kind("dark", frames=("F1", "F2"))
    people = [person(name, (0, 60)) for name in "AB"]
    week = tiny_week([(kind, 50)] * 4, end=60, people=people, frames=("F1", "F2"), lot=1.5)
    assert sheets_late(week) == sheets_open(week) == 3
    assert least_late(week, seconds=60) == least_missing(week, late=4, seconds=60) == 3
    assert minutes_late(week) == 3 * (60 - 50 + 24 * 60)  # left out: a day after the end


def test_what_finds_no_time_with_two_people_at_hand_is_known_to_be_left_out():
    """One of them supervises all day; the other is there for one mould, which can't be left till he is back."""
    kind = tiny_kind("dark", dwell=8, latest=10, frames=("F1", "F2"))
    people = [person("A", (0, 100)), person("B", (0, 14), (40, 52))]
    week = tiny_week([(kind, 90)] * 4, end=100, people=people, frames=("F1", "F2"))
    assert sheets_late(week) == sheets_open(week) == 2
    assert least_missing(week, late=4, seconds=60) == 2


def test_a_mould_may_be_in_its_press_through_a_break_as_long_as_its_latest_dwell():
    """Loaded as one of two goes for two minutes, taken out as he is back: no bound is above that plan."""
    kind = tiny_kind("blue", dwell=1, latest=2, whole=3)
    people = [person("A", (0, 11), (13, 40)), person("B", (0, 40))]
    week = tiny_week([(kind, 12), (kind, 12)], end=40, people=people)
    found = search(week, seconds=60, levels=2, repeatable=True)
    assert [found.schedule.runs[sheet.id].load for sheet in week.sheets] == [2, 10]
    late = next(one for one in found.levels if one.name == "late_min")
    assert (
        minutes_late(week)
        <= late.value
        == sum(max(0, run.ready - 12) for run in found.schedule.runs.values())
    )
