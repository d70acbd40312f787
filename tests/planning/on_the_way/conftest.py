"""A small week, planned once, with what was done while its second mould is in the hot press."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

import flatstock.demo
from flatstock.actions.plans import keep_plan, plan_week
from flatstock.workshop.files import read

MONDAY = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
ORDERS = "id,plastic,colour,thickness_mm,sheets,due,condition_h,lots\n" + "\n".join(
    (
        "O-102,hdpe,white,18,2,2026-03-05T17:00,,L-2303 100 %",
        "O-103,pp,green,6,2,2026-03-06T15:00,0,L-2304 100 %",
        "O-104,hdpe,dark,12,4,2026-03-04T10:00,0,L-2301 100 %",
    )
)


def done_by(plan: dict[str, Any], moment: datetime) -> str:
    """done.csv of a shop that keeps to its plan."""
    lines = ["sheet,step,start,end,place,people"]
    for task in plan["tasks"]:
        start, end = datetime.fromisoformat(task["start"]), datetime.fromisoformat(task["end"])
        if task["people"] and start <= moment:
            ended = task["end"] if end <= moment else ""
            places, people = " ".join(task["places"]), " ".join(task["people"])
            lines.append(f"{task['sheet']},{task['step']},{task['start']},{ended},{places},{people}")
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="session")
def planned(tmp_path_factory) -> Path:
    """A folder with nine sheets to press, and their plan kept."""
    folder = tmp_path_factory.mktemp("under-way") / "shop"
    shutil.copytree(Path(flatstock.demo.__file__).parent / "workshop", folder)
    (folder / "orders.csv").write_text(ORDERS + "\n", "utf-8")
    shop = read(folder)
    keep_plan(shop, plan_week(shop, now=MONDAY, seconds=12))
    return folder


@pytest.fixture(scope="session")
def now(planned) -> datetime:
    """The second mould was loaded a quarter of an hour ago."""
    plan = json.loads((planned / "plan.json").read_text("utf-8"))
    loads = sorted(datetime.fromisoformat(t["start"]) for t in plan["tasks"] if t["step"] == "load")
    return loads[1] + timedelta(minutes=15)


@pytest.fixture
def shop(planned, now, tmp_path) -> Path:
    """The same folder by then: what was to be done is done."""
    folder = tmp_path / "shop"
    shutil.copytree(planned, folder)
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    (folder / "done.csv").write_text(done_by(plan, now), "utf-8")
    return folder
