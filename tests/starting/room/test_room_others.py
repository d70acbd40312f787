"""Every other plan that is shown stands in a file of its own, for other programs and for `--check`."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from flatstock.actions.room_others import keep_others
from flatstock.actions.rooms import RoomOutcome, check_room, place_room
from flatstock.starting.room.answer import Alternative


@pytest.fixture(scope="module")
def demo(demo_folder: Path) -> RoomOutcome:
    """An answer with one other plan, which is the same one."""
    found = place_room(demo_folder, first=True, seconds=60)
    assert found.plan is not None
    other = Alternative(plan=found.plan, walk_m_per_day=1.0, differs="nowhere")
    listed = [{"file": None, "number": 1, "walk_m_per_day": 1.0, "differs": "nowhere", "items": []}]
    return replace(found, document={**found.document, "alternatives": listed}, others=(other,))


@pytest.fixture
def shop(demo_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(demo_folder, tmp_path / "shop"))


def test_the_file_named_is_a_room_that_passes_the_judge(demo: RoomOutcome, shop: Path) -> None:
    kept = keep_others(shop, demo)
    [one] = kept.document["alternatives"]
    document = json.loads((shop / one["file"]).read_text("utf-8"))
    assert document["format"] == "flatstock.room/1"
    assert check_room(shop, shop / one["file"]).document["walk_m_per_day"] == document["walk_m_per_day"]


def test_it_says_all_that_the_first_plan_says(demo: RoomOutcome, shop: Path) -> None:
    kept = keep_others(shop, demo)
    other = json.loads((shop / kept.document["alternatives"][0]["file"]).read_text("utf-8"))
    assert set(demo.document) - set(other) == set()
    assert other["proof"]["status"] == "feasible"
    assert "supply" in other


def test_those_of_an_earlier_call_are_taken_away(demo: RoomOutcome, shop: Path) -> None:
    file = keep_others(shop, demo).document["alternatives"][0]["file"]
    keep_others(shop, replace(demo, others=()))
    assert not (shop / file).exists()


def test_where_it_can_not_be_written_no_file_is_named(demo: RoomOutcome, shop: Path) -> None:
    (shop / "room-other-1.json").mkdir()
    said: list[str] = []
    kept = keep_others(shop, demo, say=said.append)
    assert kept.document["alternatives"][0]["file"] is None
    assert "room-other-1.json: can't be written" in said[0]
