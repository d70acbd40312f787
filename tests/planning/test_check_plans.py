"""What the judge lets pass, and how it says what it doesn't."""

import ast
import json
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import flatstock.planning.check as room
from flatstock.planning.check import judge
from tests.planning.small_week import MONDAY, at, instant, settled, sheet, small_week, task


def rules(plan):
    return {one.rule for one in judge(plan)}


def test_a_plan_that_can_be_run_passes():
    assert judge(small_week()) == []


@settings(max_examples=15, deadline=None)
@given(
    minutes=st.integers(min_value=-300_000, max_value=300_000), hours=st.integers(min_value=-11, max_value=13)
)
def test_a_plan_stays_a_plan_when_all_of_it_is_shifted_or_told_on_another_clock(minutes, hours):
    zone = timezone(timedelta(hours=hours))
    assert judge(small_week((MONDAY + timedelta(minutes=minutes)).astimezone(zone))) == []


def test_time_is_true_time_when_the_clocks_go_forward_in_the_middle_of_a_dwell():
    """28 minutes are 28 minutes though the clock on the wall says 88."""
    plan = small_week()
    for one in plan["tasks"] + plan["settings"] + plan["power"]:
        for field in ("start", "end"):
            if instant(one[field]) >= instant(at(1, "08:20")):
                one[field] = instant(one[field]).astimezone(timezone(timedelta(hours=2))).isoformat()
    assert task(plan, "A-transfer")["start"].startswith("2026-03-02T09:31")
    assert judge(plan) == []


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_a_compulsory_step_left_out_is_always_found(data):
    plan = small_week()
    steps = ("weigh", "prepare", "load", "dwell", "transfer", "press_cool", "demould")
    gone = data.draw(st.sampled_from([one["id"] for one in plan["tasks"] if one["step"] in steps]))
    plan["tasks"] = [one for one in plan["tasks"] if one["id"] != gone]
    assert "compulsory" in rules(plan)


@settings(max_examples=60, deadline=None)
@given(data=st.data(), minutes=st.integers(min_value=1, max_value=400), back=st.booleans())
def test_a_hot_step_shifted_by_itself_is_always_found(data, minutes, back):
    plan = small_week()
    steps = ("load", "dwell", "transfer", "press_cool", "move", "stack", "rack")
    name = data.draw(st.sampled_from([one["id"] for one in plan["tasks"] if one["step"] in steps]))
    moved, shift = task(plan, name), timedelta(minutes=-minutes if back else minutes)
    moved["start"], moved["end"] = ((instant(moved[end]) + shift).isoformat() for end in ("start", "end"))
    assert rules(settled(plan))


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_a_step_that_loses_its_places_or_its_people_is_always_found(data):
    plan = small_week()
    field = data.draw(st.sampled_from(["places", "people"]))
    name = data.draw(st.sampled_from([one["id"] for one in plan["tasks"] if one[field]]))
    task(plan, name)[field] = []
    assert rules(plan)


def test_a_finding_says_what_is_wrong_where_and_when_and_what_would_be_right():
    plan = small_week()
    sheet(plan, "A")["press_cool_min"] = 26
    (found,) = judge(plan)
    assert found.sentence() == (
        "A press_cool (A-press_cool) at 2026-03-02T08:34:00+01:00: it lasts 20 min; at least 26 min."
    )
    assert found.at == datetime.fromisoformat("2026-03-02T08:54:00+01:00")


def test_a_supply_that_nobody_knows_cannot_be_over_its_rating():
    plan = small_week()
    plan["supply"]["rated_A"] = None
    assert judge(plan) == []


def test_the_minutes_that_a_setting_needs_come_from_outside():
    assert judge(small_week(), takes=lambda press, kind, low, high: 4.0) == []
    found = judge(small_week(), takes=lambda press, kind, low, high: 37.0 if kind == "heat_up" else 0.0)
    assert [one.sentence() for one in found] == [
        "HP1 heat_up at 2026-03-02T07:05:00+01:00: it takes 35 min; at least 37.0 min."
    ]


@pytest.mark.parametrize("path", sorted(Path(room.__file__).parent.glob("*.py")), ids=lambda path: path.stem)
def test_the_judge_knows_neither_solver_nor_problem_nor_any_library(path):
    named = [
        alias.name if isinstance(node, ast.Import) else node.module or ""
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for alias in node.names
    ]
    allowed = {
        "__future__",
        "ast",
        "collections.abc",
        "dataclasses",
        "datetime",
        "itertools",
        "math",
        "typing",
    }
    assert {
        name
        for name in named
        if name not in allowed
        and name != "flatstock.errors"
        and not name.startswith("flatstock.planning.check")
    } == set()


def test_the_sample_that_the_prints_are_tried_on_is_this_plan():
    sample = Path(__file__).parents[1] / "prints" / "samples" / "plan.json"
    assert json.loads(sample.read_text("utf-8")) == small_week()
