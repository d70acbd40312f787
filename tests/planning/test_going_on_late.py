"""Where the plan that people work by is late already, one that is no later is gone on from at once."""

from __future__ import annotations

import pytest

from flatstock.planning.solve import beginning
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

TOO_SOON = 5  #: minutes: no sheet is ready by then


def two_sheets(due, come=0):
    """Of one kind, on a day of an hour and a half with two people, who `come` so many minutes late."""
    people = [person("A", (come, 90)), person("B", (come, 90))]
    return tiny_week([(tiny_kind("dark"), due)] * 2, end=90, people=people)


@pytest.fixture
def asked(monkeypatch):
    """How often the priority rules were asked for a plan."""
    times = []
    rules = beginning.dispatch

    def dispatch(week, **words):
        times.append(week)
        return rules(week, **words)

    monkeypatch.setattr(beginning, "dispatch", dispatch)
    return times


def test_a_plan_before_that_was_late_is_gone_on_from_without_asking_the_rules(asked):
    week = two_sheets(TOO_SOON)
    before = search(week, seconds=20)
    assert {one.name: one.value for one in before.levels}["late_sheets"] == 2
    asked.clear()
    found = search(week, seconds=5, before=before.schedule.runs)
    assert asked == []
    assert {one.name: one.value for one in found.levels}["moved_min"] == 0


def test_where_more_is_late_than_by_the_plan_before_the_rules_are_asked(asked):
    before = search(two_sheets(90), seconds=20)
    soon = min(run.ready for run in before.schedule.runs.values())
    asked.clear()
    search(two_sheets(soon, come=soon), seconds=5, before=before.schedule.runs)
    assert asked != []
