"""A week is on course while what has happened is what its plan says, and nothing has changed."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.planning.on_course import on_course
from flatstock.workshop.files import read
from flatstock.workshop.today import Absence, Outage, Today, read_today


@pytest.fixture
def plan(shop):
    return json.loads((shop / "plan.json").read_text("utf-8"))


@pytest.fixture
def as_planned(shop, plan, now):
    return read_today(read(shop), sheets={one["id"] for one in plan["sheets"]}, now=now)


def test_a_shop_that_kept_to_its_plan_is_on_course(plan, as_planned, now):
    assert on_course(plan, as_planned, now)


def test_before_anything_begins_a_plan_is_on_course(plan, now):
    first = min(task["start"] for task in plan["tasks"])
    assert on_course(plan, Today(), now.fromisoformat(first))


def test_a_step_that_was_to_have_begun_and_has_not_is_off_course(plan, as_planned, now):
    assert not on_course(plan, replace(as_planned, done=as_planned.done[:-1]), now)


def test_a_step_that_goes_on_past_its_end_is_off_course(plan, as_planned, now):
    assert not on_course(plan, as_planned, now + timedelta(hours=1))


def test_a_step_at_another_minute_is_off_course(plan, as_planned, now):
    late = replace(as_planned.done[-1], start=as_planned.done[-1].start + timedelta(minutes=1))
    assert not on_course(plan, replace(as_planned, done=(*as_planned.done[:-1], late)), now)


@pytest.mark.parametrize(
    "change",
    [
        {"absences": (Absence(person="OP2", start=None, end=None, why=""),)},
        {"outages": (Outage(place="CP1", start=None, end=None, why=""),)},
        {"held": (("L-2301", ""),)},
        {"cold": ("HP1",)},
    ],
)
def test_whatever_has_changed_is_off_course(plan, as_planned, now, change):
    assert not on_course(plan, replace(as_planned, **change), now)
