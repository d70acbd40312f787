"""The demo's Monday under way on record: its stock, its recipes, and a plan that goes on from it counts nothing twice."""

from __future__ import annotations

import json
import shutil
from datetime import datetime
from pathlib import Path

import pytest

from flatstock import demo
from flatstock.actions import living
from flatstock.actions.practice import begin_day
from flatstock.actions.weighed import weighed_on_record
from flatstock.actions.workshops import open_workshop
from flatstock.records import open_store
from flatstock.records.sheets import frozen_of, steps_of
from tests.records.some import MONDAY

PLAN = Path(__file__).parents[1] / "web" / "demo_week.json"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    shutil.copy(PLAN, folder / "plan.json")
    living.begin_records(folder, at=MONDAY, who=["OP4"], why="begun")
    return folder


def test_what_the_monday_weighed_is_gone_from_the_book_and_stands_with_its_sheets(shop: Path):
    plan = json.loads(PLAN.read_text())
    before = open_workshop(shop).lots
    moment = begin_day(shop, plan)
    assert isinstance(moment, datetime)
    after = open_workshop(shop)
    weighed = weighed_on_record(after, [one["id"] for one in plan["sheets"]])
    assert weighed
    for name, lot in after.lots.items():
        gone = sum(of.get(name, 0.0) for of in weighed.values())
        assert before[name].mass - lot.mass == pytest.approx(gone, abs=1e-6)
    with open_store(shop) as store, store.reading() as db:
        sheet = next(e.sheet for _, e in store.events(kinds=["loaded"]) if e.sheet in weighed)
        assert sheet is not None
        frozen = frozen_of(db, sheet)
        planned = next(one for one in plan["sheets"] if one["id"] == sheet)
        assert frozen is not None
        assert frozen.body["set_point_C"] == planned["set_point_C"]
        assert frozen.plan == plan["made_at"]
        assert steps_of(db, sheet)


def test_the_day_is_begun_once(shop: Path):
    plan = json.loads(PLAN.read_text())
    begin_day(shop, plan)
    stock = {name: lot.mass for name, lot in open_workshop(shop).lots.items()}
    begin_day(shop, plan)
    assert {name: lot.mass for name, lot in open_workshop(shop).lots.items()} == stock
