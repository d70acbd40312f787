"""What a plan on from now says of its lots: what was weighed for its sheets is not taken twice."""

from __future__ import annotations

import json
import shutil
from datetime import datetime
from pathlib import Path

import pytest

from flatstock.actions.living import begin_records
from flatstock.actions.practice import begin_day
from flatstock.actions.weighed import count_once
from flatstock.actions.workshops import copy_demo, open_workshop
from tests.records.some import MONDAY

WEEK = Path(__file__).parents[1] / "web" / "demo_week.json"


def test_a_lot_that_charges_were_weighed_from_holds_enough_for_the_same_sheets(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    copy_demo(folder)
    files = {one.id: one.mass for one in open_workshop(folder).lots.values()}
    shutil.copy(WEEK, folder / "plan.json")
    plan = json.loads(WEEK.read_text(encoding="utf-8"))
    begin_records(folder, at=MONDAY, who=["OP4"], why="begun")
    moment = begin_day(folder, plan)
    assert isinstance(moment, datetime)
    shop = open_workshop(folder)
    left = {one.id: one.mass for one in shop.lots.values()}
    assert any(left[lot] < files[lot] for lot in files)
    told = {"sheets": plan["sheets"], "lots": [{"id": lot, "mass_kg": mass} for lot, mass in left.items()]}
    count_once(told, shop)
    assert {one["id"]: one["mass_kg"] for one in told["lots"]} == pytest.approx(files)
