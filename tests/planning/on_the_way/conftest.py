"""A small week and its plan, with what was done while its second mould is in the hot press."""

from __future__ import annotations

import json
import shutil
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from flatstock.actions.remembered import digest_of
from flatstock.workshop.files import read
from tests.planning.on_the_way.new_plan import FILE, lay_out


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
    """A folder with eight sheets to press, and a plan of them kept."""
    folder = tmp_path_factory.mktemp("under-way") / "shop"
    lay_out(folder)
    plan = json.loads(FILE.read_text("utf-8"))
    # made of these files, whatever fields their dataclasses have got since
    plan["remembered"]["digest"] = digest_of(read(folder))
    (folder / "plan.json").write_text(json.dumps(plan), "utf-8")
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


def write_changes(
    folder: Path, table: str, field: str, names: Sequence[str], until: datetime | None = None
) -> None:
    """changes.toml with one entry of `table` a name; without `until` each lasts for good."""
    end = "" if until is None else f"until = {until:%Y-%m-%dT%H:%M:%S}\n"
    lines = "".join(f'[[{table}]]\n{field} = "{one}"\n{end}' for one in names)
    (folder / "changes.toml").write_text(lines, "utf-8")
