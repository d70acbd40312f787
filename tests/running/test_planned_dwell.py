"""A mould that has melted through stays for its planned dwell: nobody is called while full pressure goes on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import pytest

from flatstock.running.courses import Course, Gate
from flatstock.running.floor import _counts_to

LAID = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
MELTED = Gate(not_before=LAID + timedelta(minutes=13))


def situation(planned_s):
    sheet = SimpleNamespace(dwell_planned=planned_s)
    return SimpleNamespace(sheet=lambda _: sheet)


def stay(*, hot):
    return SimpleNamespace(hot=hot, since=LAID, sheet="O-1-01", place="HP1")


@pytest.mark.parametrize(
    ("hot", "planned_min", "whole", "due_min"),
    [
        (True, 28, False, 28),  # breathing and full pressure after melting through
        (True, 10, False, 13),  # never before the core has melted
        (True, 28, True, 13),  # after a cut the model alone counts
        (False, 28, False, 13),  # a dwell says nothing of cooling
    ],
)
def test_what_is_in_the_hot_press_counts_to_the_later_of_melting_and_its_planned_dwell(
    hot, planned_min, whole, due_min
):
    now, course = situation(planned_min * 60.0), Course(gates={}, whole=whole)
    assert _counts_to(stay(hot=hot), MELTED, course, now) == LAID + timedelta(minutes=due_min)


@pytest.mark.parametrize(("latest_min", "due_min"), [(44, 44), (100, 75), (10, 75)])
def test_a_plan_that_leaves_it_past_its_latest_is_not_counted_to(latest_min, due_min):
    """As where a plan finds no cooling press sooner; one that must stay longer than its face bears stays all the same."""
    course = Course(gates={}, latest=LAID + timedelta(minutes=latest_min))
    counted = _counts_to(stay(hot=True), MELTED, course, situation(75 * 60.0))
    assert counted == LAID + timedelta(minutes=due_min)
