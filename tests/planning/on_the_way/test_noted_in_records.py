"""Where a workshop keeps records, what was tapped on the floor has happened for the command line too."""

from __future__ import annotations

import json
import shutil
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from flatstock.actions.happened import begun_sheets, today_of
from flatstock.actions.living import begin_records
from flatstock.actions.lot_book import give_status
from flatstock.actions.practice import noted_by
from flatstock.actions.replans import plan_from_now
from flatstock.actions.under_way import as_begun
from flatstock.cli import main
from flatstock.records import open_store
from flatstock.running.event import Event
from flatstock.workshop.files import read
from tests.planning.on_the_way.conftest import done_by


@pytest.fixture
def noted(planned: Path, now: datetime, tmp_path: Path) -> tuple[Path, dict[str, Any]]:
    """The shop of `planned` with records of what its plan has until now, save for one sheet that is not loaded."""
    folder = tmp_path / "shop"
    shutil.copytree(planned, folder)
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    begin_records(folder, at=now - timedelta(hours=8), who=(), why="a test")
    with open_store(folder) as store:
        store.append([event for event in noted_by(plan, now) if event.sheet != not_loaded(plan, now)])
    return folder, plan


def loads(folder: Path, plan: dict[str, Any], now: datetime) -> set[str]:
    return {one.sheet for one in today_of(read(folder), plan, now).done if one.step == "load"}


def planned_loads(plan: dict[str, Any], now: datetime) -> list[str]:
    tasks = sorted(plan["tasks"], key=lambda one: str(one["start"]))
    return [t["sheet"] for t in tasks if t["step"] == "load" and datetime.fromisoformat(t["end"]) <= now]


def not_loaded(plan: dict[str, Any], now: datetime) -> str:
    return next(str(one["id"]) for one in plan["sheets"] if one["id"] not in planned_loads(plan, now))


def test_a_load_that_was_tapped_has_happened_without_any_done_csv(noted, now):
    folder, plan = noted
    assert not (folder / "done.csv").exists()
    assert loads(folder, plan, now) == set(planned_loads(plan, now)) != set()


def test_a_sheet_that_nobody_tapped_for_is_taken_from_done_csv(noted, now):
    folder, plan = noted
    untold = not_loaded(plan, now)
    moment = now.replace(tzinfo=None).isoformat()
    (folder / "done.csv").write_text(
        f"sheet,step,start,end,place,people\n{untold},load,{moment},,,\n", "utf-8"
    )
    assert untold in loads(folder, plan, now)


def test_a_tap_that_was_undone_does_not_come_back_out_of_an_older_done_csv(noted, now):
    folder, plan = noted
    (folder / "done.csv").write_text(done_by(plan, now), "utf-8")
    last = planned_loads(plan, now)[-1]
    with open_store(folder) as store:
        tap = next(event for _, event in store.events(sheet=last) if event.kind == "loaded")
        store.append(
            [Event(id="oops", at=now, noted_at=now, kind="undone", who=(), sheet=last, corrects=tap.id)]
        )
    assert last not in loads(folder, plan, now)
    assert set(planned_loads(plan, now)) - loads(folder, plan, now) == {last}


def test_a_plan_made_anew_over_sheets_under_way_names_them_and_keeps_the_plan_before(noted, now, capsys):
    folder, plan = noted
    assert set(planned_loads(plan, now)) <= set(begun_sheets(read(folder), now))
    main(["plan", str(folder), "--now", now.isoformat(), "--seconds", "1"])
    assert (
        f"Under way by the plan that is kept: {begun_sheets(read(folder), now)[0]}" in capsys.readouterr().err
    )
    assert json.loads((folder / "plan.json.before").read_text("utf-8")) == plan


def test_a_lot_that_is_held_in_the_records_is_held_for_the_plan_with_what_was_said(noted, now):
    folder, plan = noted
    lot = plan["sheets"][0]["lots"][0]["lot"]
    give_status(folder, lot, "quarantine", at=now, who=["OP1"], why="strangers in it")
    assert today_of(read(folder), plan, now).held == ((lot, "strangers in it"),)


@pytest.mark.parametrize("status", ["blocked", "empty"])
def test_what_is_under_way_of_a_lot_that_is_held_or_used_up_by_now_is_still_a_sheet_of_its_kind(
    noted, now, status
):
    """Once nothing may be pressed from its lot its order was taken for one that nobody has on file."""
    folder, plan = noted
    begun = planned_loads(plan, now)[0]
    lot = next(one["lots"][0]["lot"] for one in plan["sheets"] if one["id"] == begun)
    give_status(folder, lot, status, at=now, who=["OP1"], why="a test")
    shop = read(folder)
    assert shop.lots[lot].status == status
    assert as_begun(shop, plan).lots[lot].status == "released"
    document = plan_from_now(shop, now=now, seconds=1)
    assert begun in {one["sheet"] for one in document["tasks"]}
