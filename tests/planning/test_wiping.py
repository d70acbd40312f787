"""Between the last colour of a day and the first of the next the press is wiped, and the time for it is planned."""

from dataclasses import replace
from datetime import datetime
from itertools import pairwise

import pytest

from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Done, GivenUp, Work
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week

DAY = 1440
FIGURES = {"order": "O-1", "charge_kg": 1.0}  #: what the plan before said of a charge that is given up


def two_days(first, second, *, wipe=5, dues=None):
    """One sheet a day: a day has room for one dwell."""
    kinds = [tiny_kind(key, dwell=8, cool=2, whole=4) for key in (first, second)]
    crew = [person(name, (0, 26), (DAY, DAY + 26)) for name in ("A", "B")]
    return tiny_week(
        list(zip(kinds, dues or (26, DAY + 26), strict=True)), end=DAY + 26, people=crew,
        clean={("dark", "white"): wipe, ("white", "dark"): 1},
    )  # fmt: skip


def settings(document):
    return [(one["kind"], one["start"], one["end"]) for one in document["settings"]]


def minutes(document, kind):
    return [
        (datetime.fromisoformat(end) - datetime.fromisoformat(start)).total_seconds() / 60
        for name, start, end in settings(document)
        if name == kind
    ]


def test_the_first_sheet_of_a_day_waits_until_the_colour_of_the_day_before_is_wiped_off():
    week = two_days("dark", "white")
    found = search(week, seconds=10)
    assert found.status == "optimal"
    runs, (_, (on, _)) = found.schedule.runs, found.schedule.heated["HP1"]
    assert runs["02"].load >= on + 1 + 1 + 5  # heat-up, soak, wiping
    assert minutes(document_of(week, found), "clean") == [5]


def test_the_same_colour_on_the_next_day_is_loaded_without_wiping():
    week = two_days("dark", "dark")
    found = search(week, seconds=10)
    assert minutes(document_of(week, found), "clean") == []
    assert all(run.load - on == 2 for run, (on, _) in zip(
        sorted(found.schedule.runs.values(), key=lambda run: run.load), found.schedule.heated["HP1"], strict=True
    ))  # fmt: skip


@pytest.mark.parametrize(("wipe", "late"), [(5, 0), (10, 1)])
def test_wiping_that_finds_no_room_in_the_day_makes_the_sheet_slip(wipe, late):
    # 26 minutes: heat-up 1, soak 1, load 1, dwell 8, transfer 1, cooling 4, demoulding 1 leave nine
    found = search(two_days("dark", "white", wipe=wipe, dues=(20, DAY + 26)), seconds=10)
    assert found.status == "optimal"
    assert found.levels[0].value == late


def test_a_rules_plan_leaves_the_time_for_wiping_too():
    week = two_days("dark", "white")
    found = dispatch(week)
    runs = sorted(found.schedule.runs.values(), key=lambda run: run.load)
    for (before, after), (on, _) in zip(pairwise(runs), found.schedule.heated["HP1"][1:], strict=True):
        assert before.load < on
        assert after.load == on + 1 + 1 + 5


def dark_given_up_white_next(*, wipe=5):
    """A dark charge was laid into the press on the first day and given up; a white sheet is pressed on the second."""
    week = two_days("dark", "white", wipe=wipe)
    dark, white = week.sheets
    load = Work(step="load", start=3, end=4, places=("BENCH", "HP1"), people=("A", "B"))
    lost = replace(dark, done=Done(works=(load,), frame="F1", skins="S1", figures=FIGURES))
    one = GivenUp(sheet=lost, since=6, press=None, written=True, because="nobody was there")
    return replace(week, now=30, sheets=(white,), given_up=(one,), hot={"HP1": (Span(1, 6),)})


@pytest.mark.parametrize("plan", [lambda week: search(week, seconds=10), dispatch])
def test_the_colour_of_a_charge_given_up_is_wiped_off_too(plan):
    week = dark_given_up_white_next()
    schedule = plan(week).schedule
    on = max(start for start, _ in schedule.heated["HP1"])
    assert schedule.runs["02"].load == on + 1 + 1 + 5


def test_the_wiping_after_a_charge_given_up_stands_in_the_document():
    week = dark_given_up_white_next()
    assert minutes(document_of(week, search(week, seconds=10)), "clean") == [5]
