"""The room on its page: its numbers say where they come from, and a plan is shortened when somebody asks."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.room_kept import KEPT
from flatstock.actions.room_reasons import room_reasons
from flatstock.web import room_search
from tests.web.conftest import Served, demo_folder
from tests.web.test_the_room_looked_for import until


def test_walks_ways_out_air_and_fire_say_why(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/before/room")
    for title in ("Metres walked a day", "Ways out", "Air", "Fire load"):
        expect(page.locator("details summary", has_text=title).first).to_be_attached()
    page.get_by_role("link", name="why").first.click()
    expect(page.locator("details[open]").first).to_contain_text("trips a day")


def test_the_trips_and_walks_that_are_listed_add_up_to_what_is_walked(demo: Path) -> None:
    document = json.loads((demo / KEPT).read_text("utf-8"))
    why = room_reasons(document)["why"]
    walks = next(one for one in why if one["of"] == "walk_m_per_day")["inputs"]
    metres = [float(a) * float(b) for a, b in (one["value"].removesuffix(" m").split(" x ") for one in walks)]
    assert sum(metres) == pytest.approx(document["walk_m_per_day"], abs=0.05 * len(metres) * 20)


def test_a_plan_that_walks_less_takes_the_place_of_the_first(
    tmp_path: Path, demo: Path, serve: Callable[..., Served], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    for one in demo.iterdir():
        if one.is_file():
            (folder / one.name).write_bytes(one.read_bytes())
    before = json.loads((folder / KEPT).read_text("utf-8"))
    shorter = {**before, "name": "the shorter one", "walk_m_per_day": before["walk_m_per_day"] - 1}
    found = SimpleNamespace(plan=object(), document=shorter)
    monkeypatch.setattr(room_search, "place_room", lambda *_, **__: found)
    served = serve(folder)
    with httpx.Client(base_url=served.address, timeout=60) as asks:
        text = asks.get("/before/room").text
        assert "Look for a shorter walk" in text
        token = text.split('data-token="', 1)[1].split('"', 1)[0]
        asks.post("/before/room/look?shorter=1", data={"token": token})
        until(lambda: not served.app.state.rooms.shortening)
    assert json.loads((folder / KEPT).read_text("utf-8"))["name"] == "the shorter one"


def test_a_shorter_walk_is_looked_for_by_itself_once_a_first_plan_is_there_and_what_is_better_is_kept(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(demo_folder(tmp_path / "shop"))
    rooms = served.app.state.rooms
    rooms.shortens, rooms.seconds = True, 10.0
    with httpx.Client(base_url=served.address, timeout=60) as asks:
        until(lambda: "m walked a day" in asks.get("/before").text)
        first = json.loads((tmp_path / "shop" / KEPT).read_text("utf-8"))
        assert rooms.shortening
        assert "shorter walk" in asks.get("/before/room").text
        until(lambda: not rooms.shortening)
        after = json.loads((tmp_path / "shop" / KEPT).read_text("utf-8"))
        assert f"{after['walk_m_per_day']:.1f} m" in asks.get("/before").text
    assert after["walk_m_per_day"] <= first["walk_m_per_day"]
    assert first["proof"]["bound_m_per_day"] <= after["proof"]["bound_m_per_day"] <= after["walk_m_per_day"]
