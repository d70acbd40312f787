"""The plan that people work by is mended before anything is planned anew: as little as may be moves."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.planning.check import judge
from flatstock.planning.dispatch.kept_order import in_kept_order, minutes_moved
from flatstock.planning.dispatch.rule import Dispatched, How, dispatch
from flatstock.planning.problem.begun import runs_of
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.solve.first import as_in
from flatstock.planning.solve.people import name_people
from flatstock.planning.solve.seats import seated
from flatstock.planning.solve.week_model import WeekModel
from tests.planning.on_the_way.test_rules_from_now import CHANGES, too_soon, week_at
from tests.planning.proof.test_dispatch import document_by_rule


@pytest.fixture(scope="module")
def folder(planned, tmp_path_factory):
    copy = tmp_path_factory.mktemp("kept") / "shop"
    shutil.copytree(planned, copy)
    return copy


def before_in(folder, week):
    return runs_of(week, json.loads((folder / "plan.json").read_text("utf-8")))


def named(week, schedule, before):
    sheets = {sheet.id: sheet for sheet in week.sheets}
    runs = seated(week, schedule.runs)
    steps = [step for name, run in runs.items() for step in steps_of(week, sheets[name], run)]
    return name_people(week, steps, before)


def test_in_a_shop_that_keeps_to_its_plan_no_step_moves_and_nobody_changes_places(folder, now):
    week, _ = week_at(folder, now)
    before = before_in(folder, week)
    mended = in_kept_order(week, before)
    assert minutes_moved(week, before, mended.runs) == 0
    assert named(week, mended, before) == {
        (name, step): tuple(sorted(who))
        for name, run in before.items()
        for step, who in run.people.items()
        if who
    }


def test_after_a_late_mould_less_moves_than_by_the_rules_and_no_more_is_late(folder, now):
    week, _ = week_at(folder, now + timedelta(minutes=25), late=25)
    before = before_in(folder, week)
    mended, anew = in_kept_order(week, before), dispatch(week)
    lateness = [
        sum(
            max(0, runs[sheet.id].ready - sheet.due) if sheet.id in runs else 10**6
            for sheet in week.sheets
            if sheet.due is not None
        )
        for runs in (mended.runs, anew.schedule.runs)
    ]
    assert lateness[0] <= lateness[1]
    assert 0 < minutes_moved(week, before, mended.runs) < minutes_moved(week, before, anew.schedule.runs)


@pytest.mark.parametrize("wrong", CHANGES)
def test_a_mended_plan_is_one_in_the_eyes_of_the_judge_and_of_the_solvers_model(folder, now, wrong):
    week, lots = week_at(folder, now, CHANGES[wrong])
    mended = in_kept_order(week, before_in(folder, week))
    document = document_by_rule(week, lots, Dispatched(mended, (0, 0, 0), 0.0, How(min, (0, 0, 0), True)))
    assert judge(document) == []
    assert too_soon(week, document) == []
    model = WeekModel(week)
    assert as_in(model.m, week, model.chains, model.heated, mended)


def test_what_the_plan_before_left_out_pushes_nothing_on(folder, now):
    """Two sheets more than it has room for, due long ago: they don't come ahead of what people are at work for."""
    week, _ = week_at(folder, now)
    before = before_in(folder, week)
    first = min(week.sheets, key=lambda sheet: before[sheet.id].load)
    more = [replace(first, id=f"more-{n}", due=0, done=None, dried=None) for n in (1, 2)]
    crowded = replace(week, sheets=(*week.sheets, *more))
    mended = in_kept_order(crowded, before, until=lambda: True)
    assert minutes_moved(crowded, before, mended.runs) == 0
    assert set(before) <= set(mended.runs)


def test_the_plan_before_is_worth_what_its_document_says(folder, now):
    """A sheet is ready when it is sawn and has rested, in a plan that is read as in one that is made."""
    week, _ = week_at(folder, now)
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    runs = before_in(folder, week)
    assert {name: week.clock.text(run.ready) for name, run in runs.items()} == {
        one["id"]: one["ready"] for one in plan["sheets"]
    }
