"""A week of a shop whose cooling press stands in still air, from files to a judged plan, and a day of it under way."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from flatstock.actions.plans import Physics, keep_plan, plan_week
from flatstock.actions.remembered import kinds_in
from flatstock.actions.replans import plan_from_now
from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.planning.check import judge
from flatstock.planning.problem.build import set_out
from flatstock.planning.solve.search import search
from flatstock.workshop.files import read
from tests.planning.on_the_way.conftest import done_by
from tests.planning.proof.test_rehearsal_catches import shop_of

THURSDAY = datetime(2026, 3, 5, 7, 0, tzinfo=UTC)
FRIDAY = datetime(2026, 3, 6, 7, 0, tzinfo=UTC)
ORDER = "A,panel,hdpe,dark,12,{sheets},2026-03-12T15:00,0,L-2301 100 %,"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Nine panels of 12 mm from Thursday on, fans off, and the plan kept."""
    folder = tmp_path_factory.mktemp("still") / "shop"
    shop = shop_of(folder, ORDER.format(sheets=9), still_air=True)
    keep_plan(shop, plan_week(shop, now=THURSDAY, seconds=10))
    return folder


@pytest.fixture(scope="module")
def plan(folder):
    return json.loads((folder / "plan.json").read_text("utf-8"))


def clamped(document):
    """Sheets in the order in which they are clamped, with the day and the minutes that each has to stay."""
    asked = {one["id"]: one["press_cool_min"] for one in document["sheets"]}
    stays = sorted((t["start"], t["sheet"]) for t in document["tasks"] if t["step"] == "press_cool")
    return [(start[:10], sheet, asked[sheet]) for start, sheet in stays]


def test_the_plan_is_let_pass_by_the_judge_and_the_heat_model(plan):
    assert judge(plan) == []
    assert {one["verdict"] for one in plan["rehearsal"]["sheets"]} == {"good"}


def test_each_days_first_mould_stays_as_on_cold_plates_and_the_third_many_times_as_long(plan):
    days = {day for day, _, _ in clamped(plan)}
    assert len(days) == 2
    for day in days:
        minutes = [stay for on, _, stay in clamped(plan) if on == day]
        assert minutes[0] <= 9
        assert minutes[2] > 4 * minutes[0]


def test_more_sheets_find_a_time_than_in_a_row_that_never_rests(tmp_path):
    shop = shop_of(tmp_path / "shop", ORDER.format(sheets=7), still_air=True)
    physics = Physics(shop)
    week = set_out(shop, physics, zone=zone_of(shop), start=FRIDAY)
    never_rests = replace(
        week, sheets=tuple(replace(one, kind=replace(one.kind, warming={})) for one in week.sheets)
    )
    by_warmth, in_a_row = (len(search(one, seconds=5, levels=3).schedule.runs) for one in (week, never_rests))
    assert by_warmth > in_a_row


def test_planning_again_needs_no_heat_model_for_what_is_known(folder, plan):
    shop = read(folder)
    (kept,) = kinds_in(plan, shop).values()
    week = set_out(shop, Physics(shop), zone=zone_of(shop), start=THURSDAY)
    assert kept == week.sheets[0].kind
    assert kept.warming


def test_going_on_from_now_counts_the_moulds_that_were_clamped_this_morning(folder, plan):
    second = next(t for t in plan["tasks"] if t["step"] == "press_cool" and t["sheet"] == clamped(plan)[1][1])
    now = datetime.fromisoformat(second["start"]) + timedelta(minutes=5)
    (folder / "done.csv").write_text(done_by(plan, now), "utf-8")
    document = plan_from_now(open_workshop(folder), now=now, seconds=4)
    assert document["given_up"] == []
    today = [stay for day, _, stay in clamped(document) if day == now.isoformat()[:10]]
    assert today[0] <= 9 < today[1]
    assert today[2] > 4 * today[0]
    later = [stay for day, _, stay in clamped(document) if day > now.isoformat()[:10]]
    assert later[0] <= 9
    assert {one["verdict"] for one in document["rehearsal"]["sheets"]} == {"good"}
