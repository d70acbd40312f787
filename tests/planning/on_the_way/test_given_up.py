"""A mould that nobody may take out of its press in time: its charge is given up, and the week goes on without it."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.replans import plan_from_now
from flatstock.actions.under_way import plan_to_go_on_from, week_now
from flatstock.planning.check import judge
from flatstock.planning.problem.begun import figures_of
from flatstock.workshop.files import read
from flatstock.workshop.today import read_today
from tests.planning.on_the_way.conftest import done_by, write_changes

SHEET, PRESS = "O-104-02", "HP1"


def at(text):
    return datetime.fromisoformat(text)


def away(folder, *people, until=None):
    write_changes(folder, "absences", "person", people, until)


def go_on(folder, now, *, seconds=3):
    return plan_from_now(read(folder), now=now, seconds=seconds)


def note(folder, line):
    with (folder / "done.csv").open("a", encoding="utf-8") as file:
        file.write(line + "\n")


def loads_in(document, press):
    return [at(t["start"]) for t in document["tasks"] if t["step"] == "load" and press in t["places"]]


@pytest.fixture(scope="module")
def alone(planned, now, tmp_path_factory):
    """The same shop, with one trained person left until tomorrow; and what is planned then."""
    folder = tmp_path_factory.mktemp("alone") / "shop"
    shutil.copytree(planned, folder)
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    (folder / "done.csv").write_text(done_by(plan, now), "utf-8")
    away(folder, "OP1", "OP3", until=now + timedelta(hours=18))
    return folder, go_on(folder, now, seconds=6)


def test_the_week_is_planned_and_the_charge_is_given_up_with_who_could_still_save_it(alone, now):
    _, document = alone
    (one,) = document["given_up"]
    assert (one["sheet"], one["press"], one["written"]) == (SHEET, PRESS, False)
    assert at(one["since"]) == now
    loaded = at(next(task["end"] for task in one["tasks"] if task["step"] == "load"))
    assert at(one["call_by"]) == loaded + timedelta(minutes=one["dwell_latest_min"])
    assert "only OP2" in one["because"]
    assert "call whoever is trained" in one["do"][0]
    assert f"heaters of {PRESS} off" in one["do"][1]
    assert judge(document) == []


def test_another_sheet_of_the_order_is_pressed_for_it_under_a_number_of_its_own(alone):
    folder, document = alone
    before = json.loads((folder / "plan.json").read_text("utf-8"))
    old, new = ({one["id"] for one in plan["sheets"]} for plan in (before, document))
    assert document["given_up"][0]["instead"] == "O-104-05"
    assert new == old - {SHEET} | {"O-104-05"}


def test_its_press_is_heated_again_only_when_the_cold_mould_is_out(alone):
    _, document = alone
    (one,) = document["given_up"]
    out = at(one["out"]["end"])
    assert at(one["cold_from"]) <= at(one["out"]["start"]) < out
    heated = [at(s["start"]) for s in document["settings"] if s["kind"] == "heat_up"]
    later = [moment for moment in heated if moment >= at(one["since"])]
    assert later
    assert min(later) >= out
    assert all(load < at(one["since"]) or load > out for load in loads_in(document, PRESS))


def test_its_flake_is_used_up(alone):
    folder, document = alone
    on_file = {lot.id: lot.mass for lot in read(folder).lots.values()}
    (weighed,) = document["given_up"][0]["lots"]
    said = {one["id"]: one["mass_kg"] for one in document["lots"]}
    assert said[weighed["lot"]] == pytest.approx(on_file[weighed["lot"]] - weighed["mass_kg"])


def test_where_no_flake_is_left_for_another_charge_the_order_is_short_of_a_sheet_and_it_is_said(alone, now):
    folder, _ = alone
    before = json.loads((folder / "plan.json").read_text("utf-8"))
    drawn = [part for one in before["sheets"] for part in one["lots"] if part["lot"] == "L-2301"]
    shop = read(folder)
    lot = replace(shop.lots["L-2301"], mass=sum(part["mass_kg"] for part in drawn) + 1.0)
    document = plan_from_now(replace(shop, lots=shop.lots | {"L-2301": lot}), now=now, seconds=3)
    assert document["proof"]["status"] == "impossible"
    assert all("L-2301" in one["because"] for one in document["left_out"])
    assert [one["because"].split(" find")[0] for one in document["left_out"]] == ["1 of its sheets"]
    assert judge(document) == []


def test_what_moved_says_that_its_charge_is_given_up_and_what_is_pressed_for_it(alone):
    _, document = alone
    gone = [one for one in document["since"]["moved"] if one["sheet"] == SHEET]
    assert gone
    assert all(one["to"] is None and "O-104-05 is pressed for it" in one["because"] for one in gone)


def test_once_somebody_is_called_the_sheet_is_finished_though_the_plan_had_given_it_up(alone, now, tmp_path):
    folder, document = alone
    shutil.copytree(folder, tmp_path / "shop")
    (tmp_path / "shop" / "plan.json").write_text(json.dumps(document), "utf-8")
    away(tmp_path / "shop", "OP3")
    again = go_on(tmp_path / "shop", now + timedelta(minutes=5))
    assert again["given_up"] == []
    assert {one["id"] for one in again["sheets"] if one["order"] == "O-104"} == {
        f"O-104-{n:02d}" for n in (1, 2, 3, 4)
    }
    assert judge(again) == []


def test_a_charge_noted_as_given_up_stays_so_and_is_out_when_that_is_noted(alone, now, tmp_path):
    folder, document = alone
    shutil.copytree(folder, tmp_path / "shop")
    (tmp_path / "shop" / "plan.json").write_text(json.dumps(document), "utf-8")
    morning = at(document["given_up"][0]["out"]["end"]) + timedelta(minutes=10)
    out = morning - timedelta(minutes=5)
    note(tmp_path / "shop", f"{SHEET},given_up,{now.isoformat()},{out.isoformat()},{PRESS},OP2")
    again = go_on(tmp_path / "shop", morning)
    (one,) = again["given_up"]
    assert (one["sheet"], one["press"], one["out"], one["instead"]) == (SHEET, None, None, "O-104-05")
    assert [words for words in again["warnings"] if "heated" in words] == []
    assert min(load for load in loads_in(again, PRESS) if load > morning) < morning + timedelta(hours=3)
    assert judge(again) == []


def test_noted_as_given_up_without_an_end_it_is_in_the_press_still(shop, now):
    since = now - timedelta(minutes=10)
    note(shop, f"{SHEET},given_up,{since.isoformat()},,{PRESS},OP1")
    document = go_on(shop, now)
    (one,) = document["given_up"]
    assert (one["written"], one["press"], at(one["since"])) == (True, PRESS, since)
    assert one["call_by"] is None
    assert all(load < since or load > at(one["out"]["end"]) for load in loads_in(document, PRESS))
    assert judge(document) == []


@pytest.mark.parametrize(("place", "step"), [("HP1", "load"), ("R1", "move")])
def test_a_line_that_alone_says_where_its_charge_was_given_up_says_where_its_mould_is(shop, now, place, step):
    lines = (shop / "done.csv").read_text("utf-8").splitlines()
    of_others = [line for line in lines if not line.startswith(SHEET)]
    (shop / "done.csv").write_text("\n".join([*of_others, ""]), "utf-8")
    note(shop, f"{SHEET},given_up,{now.isoformat()},,{place},OP1")
    files = read(shop)
    before = plan_to_go_on_from(files)
    today = read_today(files, sheets=figures_of(before).keys(), now=now)
    week = week_now(Physics(files, then=Physics(files)), before, today, now, roughly=True)
    (one,) = week.given_up
    last = one.sheet.done.works[-1]
    assert (last.step, place in last.places) == (step, True)
    assert (one.press, one.sheet.lost) == (("HP1", False) if place == "HP1" else (None, True))


def test_a_charge_spilled_before_it_came_to_a_press_is_weighed_again_under_another_number(shop, now):
    moment = now.isoformat()
    note(shop, f"O-104-04,given_up,{moment},{moment},,OP1")
    document = go_on(shop, now)
    (one,) = document["given_up"]
    assert (one["sheet"], one["press"], one["instead"]) == ("O-104-04", None, "O-104-05")
    assert [task["step"] for task in one["tasks"]] == ["weigh"]
    assert "O-104-04" not in {task["sheet"] for task in document["tasks"]}
    assert judge(document) == []


def test_a_mould_that_no_cooling_press_can_take_is_given_up_unless_one_works_again_in_time(shop, now):
    out = '[[out_of_order]]\nplace = "CP1"\n'
    (shop / "changes.toml").write_text(out, "utf-8")
    document = go_on(shop, now)
    (one,) = document["given_up"]
    assert (one["sheet"], "CP1 is out of order then" in one["because"]) == (SHEET, True)
    assert "get CP1 to work again" in one["do"][0]
    assert judge(document) == []
    soon = now + timedelta(minutes=20)
    (shop / "changes.toml").write_text(f"{out}until = {soon:%Y-%m-%dT%H:%M:%S}\n", "utf-8")
    again = go_on(shop, now)
    assert again["given_up"] == []
    assert judge(again) == []


def test_a_mould_taken_out_cold_has_the_lift_or_a_bench_to_itself(alone):
    _, document = alone
    (one,) = document["given_up"]
    assert one["out"]["places"] == ["LT1"]
    start, end = at(one["out"]["start"]), at(one["out"]["end"])
    there = [
        t for t in document["tasks"] if "LT1" in t["places"] and at(t["start"]) < end and at(t["end"]) > start
    ]
    assert there == []
    assert "(LT1)" in " ".join(one["do"])
