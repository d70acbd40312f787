"""The night's stack as it will stand: what is on it now, and what the plan still brings; each stack by itself."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import httpx

from flatstock.actions.kept import kept_plan
from flatstock.running.event import Event
from tests.web.conftest import MONDAY, Served, demo_folder

STACKED = ("O-101-01", "O-106-01")


def replanned(folder: Path, places: dict[str, str]) -> Path:
    """A demo's folder whose plan leaves these sheets of Monday in these places for the night."""
    plan = dict(kept_plan(folder) or {})
    tasks = []
    for task in plan["tasks"]:
        if task["sheet"] in places and task["step"] in ("rack", "press_cool") and task["end"] > "2026-03-03":
            stands = "stack" if places[task["sheet"]].startswith("ST") else "rack"
            task = {**task, "step": stands, "places": [places[task["sheet"]]]}
        tasks.append(task)
    plan["tasks"] = tasks
    plan["resources"] = [*plan["resources"], *(
        {**one, "id": "ST2"} for one in plan["resources"] if one["id"] == "ST1"
    )]  # fmt: skip
    (folder / "plan.json").write_text(json.dumps(plan), "utf-8")
    return folder


def moulds(text: str) -> list[tuple[str, str]]:
    """Thickness and arrival of each row of the form."""
    deep = re.findall(r'name="thickness" value="([^"]*)"', text)
    return list(zip(deep, re.findall(r'name="arrives" value="([^"]*)"', text), strict=True))


def page(served: Served, address: str = "/stack") -> str:
    found = httpx.get(served.address + address, timeout=120)
    assert found.status_code == 200
    return found.text


def test_moulds_that_stand_apart_are_not_said_to_heat_each_other(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """The demo's Monday ends with one mould on the rack and one in the cooling press."""
    text = page(serve(demo_folder(tmp_path / "shop"), MONDAY))
    assert "nothing stands on a stack tonight: O-106-01 in CP1; O-101-01 in R1" in text
    assert "an example of two" in text


def test_each_stack_is_asked_about_by_itself(tmp_path: Path, serve: Callable[..., Served]) -> None:
    folder = demo_folder(tmp_path / "shop")
    words = (folder / "shop.toml").read_text("utf-8")
    tables = re.split(r"(?m)^(?=\[)", words)
    second = next(one for one in tables if 'id = "ST1"' in one).replace('"ST1"', '"ST2"')
    (folder / "shop.toml").write_text("".join([*tables, "\n", second]), "utf-8")
    served = serve(replanned(folder, {"O-101-01": "ST1", "O-106-01": "ST2"}), MONDAY)
    assert [arrives for _, arrives in moulds(page(served, "/stack?place=ST1"))] == ["15:13"]
    assert [arrives for _, arrives in moulds(page(served, "/stack?place=ST2"))] == ["15:20"]


def test_what_stands_on_the_stack_now_is_on_the_page(tmp_path: Path, serve: Callable[..., Served]) -> None:
    """Whatever the plan had meant for it."""
    served = serve(demo_folder(tmp_path / "shop"), MONDAY)
    store, instant = served.app.state.floor.board().store, served.app.state.place.instant()
    for kind, place, clock in (
        ("loaded", "HP1", "07:50"), ("transferred", "CP1", "08:20"), ("moved", "ST1", "08:40")
    ):  # fmt: skip
        at = MONDAY.replace(hour=int(clock[:2]), minute=int(clock[3:]))
        told = Event(
            id=f"{kind}-1",
            at=at,
            noted_at=instant,
            kind=kind,
            who=("OP1", "OP2"),
            sheet="O-104-01",
            place=place,
        )
        store.append([told])
    text = page(served)
    assert moulds(text) == [("12", "08:40")]
    assert "Tonight on ST1, from the foot up: M1 is O-104-01." in text
    assert "Tue 08:00" in text, "the morning that is asked for is not today"
