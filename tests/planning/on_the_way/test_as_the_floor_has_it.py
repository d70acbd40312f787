"""A plan from now on knows what the floor noted of heat and of people: the same as the run board."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from flatstock.actions.happened import today_of
from flatstock.actions.heat_clocks import HeatClocks
from flatstock.actions.living import begin_records
from flatstock.actions.plans import Physics
from flatstock.actions.practice import noted_by
from flatstock.actions.remembered import kinds_in, remembering
from flatstock.actions.replans import plan_from_now
from flatstock.actions.under_way import week_now
from flatstock.actions.warming import warming_of
from flatstock.actions.workshops import zone_of
from flatstock.planning.check import judge
from flatstock.planning.dispatch.floor import Floor
from flatstock.planning.problem.begun import runs_to_keep
from flatstock.planning.problem.stranded import stranded
from flatstock.planning.problem.week import Dwell, Week
from flatstock.records import open_store
from flatstock.running.danger import heats
from flatstock.running.event import Event
from flatstock.running.situation import situation
from flatstock.workshop.files import read
from flatstock.workshop.today import Today

Told = Callable[..., tuple[Week, dict[str, Any], Path]]


@pytest.fixture
def told(planned: Path, tmp_path: Path) -> Told:
    """The week at a moment, after everything that was planned until then and `more` of the first mould's load."""

    def week(now: datetime, *more: Event, until: datetime | None = None) -> tuple[Week, dict[str, Any], Path]:
        folder = tmp_path / "shop"
        shutil.copytree(planned, folder)
        plan: dict[str, Any] = json.loads((folder / "plan.json").read_text("utf-8"))
        begin_records(folder, at=now - timedelta(hours=8), who=(), why="a test")
        with open_store(folder) as store:
            store.append([*noted_by(plan, until or now), *more])
        shop = read(folder)
        today = today_of(shop, plan, now)
        return week_now(Physics(shop, then=Physics(shop)), plan, today, now, roughly=True), plan, folder

    return week


def an_event(kind: str, at: datetime, *who: str, **more: Any) -> Event:
    return Event(id=f"{kind} {at} {who}", at=at, noted_at=at, kind=kind, who=who, **more)


def in_press(week: Week) -> Any:
    return next(s for s in week.sheets if s.work("load") is not None and s.work("transfer") is None)


def test_after_a_cut_and_a_reading_the_new_plan_has_the_transfer_that_the_board_has(
    told: Told, now: datetime
) -> None:
    cut = now - timedelta(minutes=12)
    back = now - timedelta(minutes=3)
    week, plan, folder = told(
        now,
        an_event("power_cut", cut),
        an_event("power_back", back),
        an_event("heating_on", back, "OP1", place="HP1", facts={"set_point_C": 195.0}),
        an_event("platen_read", now - timedelta(minutes=2), "OP1", place="HP1", facts={"temperature_C": 150.0}),
    )  # fmt: skip
    sheet = in_press(week)
    shop = read(folder)
    with open_store(folder) as store:
        events = [event for _, event in store.events()]
    there = situation(events, plan=plan, shop=shop, zone=zone_of(shop), clocks=HeatClocks(lambda: shop, waits=True),
                      lot_faults=lambda *_: (), now=now)  # fmt: skip
    board = there.courses[sheet.id].gates["transferred"].not_before
    assert board is not None
    load = sheet.work("load")
    soonest = week.clock.moment(load.end + sheet.kind.dwell["HP1"].planned)
    assert timedelta(0) <= soonest - board < timedelta(minutes=1)
    figures = {one["id"]: one for one in plan["sheets"]}
    # other sheets of its recipe are pressed as before, in the plans after this one too
    kept = kinds_in({"remembered": remembering(shop, week)}, shop)[shop.orders[sheet.order].recipe]
    assert kept.dwell["HP1"] == sheet.kind.dwell["HP1"].of_kind
    assert soonest > load_end(plan, sheet.id) + timedelta(minutes=figures[sheet.id]["dwell_planned_min"] + 5)


def load_end(plan: dict[str, Any], sheet: str) -> datetime:
    return next(
        datetime.fromisoformat(t["end"]) for t in plan["tasks"] if (t["sheet"], t["step"]) == (sheet, "load")
    )


def test_what_two_people_laid_in_before_their_hours_is_not_given_up(told: Told, planned: Path) -> None:
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    first = min((t for t in plan["tasks"] if t["step"] == "load"), key=lambda t: str(t["start"]))
    seven = datetime.fromisoformat(first["start"]).replace(hour=7, minute=0)
    more = [
        an_event("arrived", seven - timedelta(minutes=90), "OP1", "OP2"),
        an_event("heating_on", seven - timedelta(minutes=90), "OP1", place="HP1", facts={"set_point_C": 195.0}),
        an_event("loaded", seven, "OP1", "OP2", sheet=first["sheet"], place="HP1"),
    ]  # fmt: skip
    now = seven + timedelta(minutes=4)  # their hours begin at 07:15
    week, plan, _ = told(now, *more, until=seven - timedelta(days=1))
    assert in_press(week).id == first["sheet"]
    assert not week.given_up
    assert not list(stranded(week))
    # an hour before the plan: it leaves when its dwell is over, not as near to the plan's time as its face bears
    load = in_press(week).work("load")
    assert (
        runs_to_keep(week, plan)[first["sheet"]].transfer
        == load.end + in_press(week).kind.dwell["HP1"].planned
    )


def test_a_dwell_that_can_no_longer_end_when_it_was_to_ends_when_it_is_over_and_not_at_its_latest() -> None:
    ripe = Floor.ripe
    dwell = Dwell(set_point=195.0, least=40, planned=45, latest=70)
    sheet: Any = SimpleNamespace(id="S-1", dwell_least=0)
    kept, gone = (SimpleNamespace(like={"S-1": SimpleNamespace(transfer=at)}) for at in (160, 171))
    assert ripe(kept, sheet, dwell, 100) == 160  # type: ignore[arg-type]  # what of a floor it asks
    assert ripe(gone, sheet, dwell, 100) == 145  # type: ignore[arg-type]


def test_a_press_that_was_switched_on_late_is_loaded_when_the_board_says_that_it_is_ready(
    told: Told, planned: Path
) -> None:
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    first = min(datetime.fromisoformat(one["start"]) for one in plan["settings"] if one["kind"] == "heat_up")
    now = first + timedelta(minutes=70)  # it was to be hot and soaked by now
    on = an_event("heating_on", now - timedelta(minutes=20), "OP1", place="HP1", facts={"set_point_C": 195.0})
    week, _, folder = told(now, on, until=first - timedelta(days=1))
    shop = read(folder)
    heat = heats([on], ("HP1",), now=now)
    ready = warming_of(shop, (), heat, now=now)["HP1"].ready
    span = week.on_now("HP1")
    assert span is not None
    assert ready is not None
    soonest = span.start + week.heat_up["HP1", 195.0] + week.times.soak
    assert timedelta(0) <= week.clock.moment(soonest) - ready < timedelta(minutes=1)


def test_a_press_whose_heat_was_away_for_a_while_takes_its_next_mould_when_the_board_lets_it_in(
    told: Told, planned: Path
) -> None:
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    out = min(datetime.fromisoformat(t["end"]) for t in plan["tasks"] if t["step"] == "transfer")
    off, back = out + timedelta(minutes=1), out + timedelta(minutes=15)
    now = back + timedelta(minutes=1)
    cut = [
        an_event("heating_off", off, "OP1", place="HP1"),
        an_event("heating_on", back, "OP1", place="HP1", facts={"set_point_C": 195.0}),
    ]
    _, _, folder = told(now, *cut, until=out)
    shop = read(folder)
    (platens,) = today_of(shop, plan, now).platens
    ready = platens.ready
    assert ready is not None
    assert ready > now + timedelta(minutes=4)
    answers: list[dict[str, Any]] = []
    answers.append(plan_from_now(shop, now=now, seconds=5, first=answers.append))
    for document in answers:
        loads = [datetime.fromisoformat(t["start"]) for t in document["tasks"] if t["step"] == "load"]
        assert min(load for load in loads if load >= now) >= ready


def test_a_press_that_was_switched_off_has_to_be_heated_again_whatever_was_planned(
    told: Told, planned: Path
) -> None:
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    first = min(datetime.fromisoformat(one["start"]) for one in plan["settings"] if one["kind"] == "heat_up")
    told_events = [
        an_event("heating_on", first, "OP1", place="HP1", facts={"set_point_C": 195.0}),
        an_event("heating_off", first + timedelta(minutes=60), "OP1", place="HP1"),
    ]
    week, _, _ = told(first + timedelta(minutes=70), *told_events, until=first - timedelta(days=1))
    assert week.on_now("HP1") is None


@pytest.mark.parametrize("after", [-2, 0, 1])
def test_heaters_that_went_off_while_the_last_mould_was_taken_out_are_off_once_it_is_out(
    told: Told, planned: Path, after: int
) -> None:
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    begins, ends = min(
        (datetime.fromisoformat(t["start"]), datetime.fromisoformat(t["end"]))
        for t in plan["tasks"]
        if t["step"] == "transfer"
    )
    off = an_event("heating_off", begins + timedelta(minutes=1), "OP1", place="HP1")
    now = ends + timedelta(minutes=after)
    _, _, folder = told(now, off)
    document = plan_from_now(read(folder), now=now, seconds=4)
    assert judge(document) == []


def test_an_empty_press_whose_heaters_are_said_to_be_off_is_not_taken_for_one_that_is_on(
    planned: Path,
) -> None:
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    first = min(datetime.fromisoformat(one["start"]) for one in plan["settings"] if one["kind"] == "heat_up")
    now, shop = first + timedelta(minutes=30), read(planned)
    physics = Physics(shop, then=Physics(shop))
    on, off = (week_now(physics, plan, Today(cold=cold), now, roughly=True) for cold in ((), ("HP1",)))
    assert on.on_now("HP1") is not None
    assert off.on_now("HP1") is None
