"""Weighings in the morning of the day that their sheet is pressed: nothing else of a plan changes."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.workshops import copy_demo, open_workshop, zone_of
from flatstock.planning.check import judge
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.document import plan_document
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Done, Work
from flatstock.planning.solve.mornings import weighed_that_day
from flatstock.planning.solve.people import name_people
from flatstock.planning.solve.seats import seated
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
DAY = 1440


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """Shop, physics, week and a plan of it by a rule, with every charge weighed on Monday from 07:15 on."""
    folder = tmp_path_factory.mktemp("mornings") / "demo"
    copy_demo(folder)
    shop = open_workshop(folder)
    physics = Physics(shop)
    week = set_out(shop, physics, zone=zone_of(shop), start=MONDAY)
    found = dispatch(week).schedule
    in_order = sorted(found.runs.values(), key=lambda run: run.load)
    first = min(span.start for one in week.people for span in one.present)
    on_monday = {
        run.sheet: replace(run, weigh=min(run.weigh, first + n * week.times.weigh))
        for n, run in enumerate(in_order)
    }
    return shop, physics, week, Schedule(runs=seated(week, on_monday), heated=found.heated)


def test_every_charge_of_the_demo_is_weighed_on_the_day_it_is_pressed(demo):
    _, _, week, plan = demo
    moved = weighed_that_day(week, plan)
    assert any(run.weigh // DAY < run.load // DAY for run in plan.runs.values())
    assert [run.sheet for run in moved.runs.values() if run.weigh // DAY != run.load // DAY] == []


def test_nothing_else_of_the_plan_changes_and_the_judge_still_passes_it(demo):
    shop, physics, week, plan = demo
    moved = weighed_that_day(week, plan)
    assert moved.heated == plan.heated
    assert {n: replace(run, weigh=0) for n, run in moved.runs.items()} == {
        n: replace(run, weigh=0) for n, run in plan.runs.items()
    }
    sheets = {sheet.id: sheet for sheet in week.sheets}
    steps = [step for name, run in moved.runs.items() for step in steps_of(week, sheets[name], run)]
    lots = [
        {
            "id": one.id,
            "plastic": one.plastic,
            "colour": one.colour,
            "status": one.status,
            "mass_kg": one.mass,
        }
        for one in shop.lots.values()
    ]
    document = plan_document(
        week, moved, name_people(week, steps), made_at=MONDAY.isoformat(), lots=lots,
        proof={"status": "feasible", "objective": [], "seconds": 1.0}, cautions=[],
    )  # fmt: skip
    assert judge(document, takes=physics.takes) == []


def test_done_twice_it_is_the_same(demo):
    _, _, week, plan = demo
    once = weighed_that_day(week, plan)
    assert weighed_that_day(week, once) == once


def two_days(*people):
    """One sheet pressed in the second of two stays, its charge weighed in the first minute of all."""
    week = tiny_week([(tiny_kind("dark"), 60)], end=60, people=people)
    run = dispatch(week).schedule.runs["01"]
    late = replace(
        run, prepare=run.prepare + 40, load=run.load + 40, transfer=run.transfer + 40, leave=run.leave + 40,
        demould=run.demould + 40, weigh=0,
    )  # fmt: skip
    return week, Schedule(runs={"01": late}, heated={})


def test_a_weighing_stays_where_nobody_has_a_minute_for_it_that_day():
    week, plan = two_days(person("A", (0, 20), (40, 60)), person("B", (0, 20), (40, 60)))
    busy = replace(plan.runs["01"], prepare=40)
    assert weighed_that_day(week, Schedule(runs={"01": busy}, heated={})).runs["01"].weigh == 0
    assert weighed_that_day(week, plan).runs["01"].weigh >= 40


def test_what_has_been_weighed_stays_weighed():
    week, plan = two_days(person("A", (0, 20), (40, 60)), person("B", (0, 20), (40, 60)))
    (sheet,) = week.sheets
    weighing = Work(step="weigh", start=0, end=1, places=("SCALE",), people=("A",))
    done = replace(sheet, done=Done(works=(weighing,), frame="F1", skins="S1", figures={}))
    assert weighed_that_day(replace(week, sheets=(done,)), plan) == plan
