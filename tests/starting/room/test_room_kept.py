"""A plan that was found is known at once the next time, for as long as it passes and its room is the same."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from flatstock.actions import rooms
from flatstock.actions.room_kept import KEPT, keep_room, known_room
from flatstock.actions.rooms import RoomOutcome, place_room
from flatstock.errors import Refused


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> tuple[Path, RoomOutcome]:
    folder = tmp_path_factory.mktemp("kept") / "shop"
    shutil.copytree(demo_folder, folder)
    outcome = place_room(folder, first=True, seconds=60)
    keep_room(folder, outcome)
    return folder, outcome


@pytest.fixture
def shop(found: tuple[Path, RoomOutcome], tmp_path: Path) -> Path:
    return Path(shutil.copytree(found[0], tmp_path / "shop"))


def edit(shop: Path, old: str, new: str) -> None:
    text = (shop / "room.toml").read_text("utf-8")
    assert old in text
    (shop / "room.toml").write_text(text.replace(old, new, 1), "utf-8")


def test_it_is_the_plan_that_was_found_with_its_proof(found: tuple[Path, RoomOutcome]) -> None:
    folder, outcome = found
    known = known_room(folder)
    assert known is not None
    assert known.plan is not None
    assert outcome.plan is not None
    assert known.plan.placements == outcome.plan.placements
    for name in ("walk_m_per_day", "items", "flows", "ways_out", "fire", "air", "warnings"):
        assert known.document[name] == outcome.document[name]
    assert known.document["proof"]["bound_m_per_day"] == outcome.document["proof"]["bound_m_per_day"]


def test_a_room_that_says_something_else_has_to_be_looked_for(shop: Path) -> None:
    edit(shop, "depth_mm = 800", "depth_mm = 790")
    assert known_room(shop) is None


def test_a_thing_that_was_put_somewhere_else_since_has_to_be_looked_for(shop: Path) -> None:
    document = json.loads((shop / KEPT).read_text("utf-8"))
    first = next(
        one for one in document["items"] if f'id = "{one["id"]}"' in (shop / "room.toml").read_text("utf-8")
    )
    edit(
        shop,
        f'id = "{first["id"]}"',
        f'id = "{first["id"]}"\nx_mm = {first["x_mm"] + 100}\ny_mm = {first["y_mm"]}\nturned_deg = {first["turned_deg"]}',
    )
    assert known_room(shop) is None


def test_a_kept_plan_that_breaks_a_rule_is_not_shown(shop: Path) -> None:
    document = json.loads((shop / KEPT).read_text("utf-8"))
    for item in document["items"]:
        item["x_mm"], item["y_mm"] = document["items"][0]["x_mm"], document["items"][0]["y_mm"]
    (shop / KEPT).write_text(json.dumps(document), "utf-8")
    assert known_room(shop) is None


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": "flatstock.room/1"}'])
def test_a_file_that_is_something_else_has_the_room_looked_for(shop: Path, text: str) -> None:
    (shop / KEPT).write_text(text, "utf-8")
    assert known_room(shop) is None


def test_a_bound_on_a_walk_that_counts_otherwise_now_is_not_told(shop: Path) -> None:
    document = json.loads((shop / KEPT).read_text("utf-8"))
    document["proof"] |= {"status": "optimal", "walk_m_per_day": 1.0, "bound_m_per_day": 1.0}
    (shop / KEPT).write_text(json.dumps(document), "utf-8")
    known = known_room(shop)
    assert known is not None
    assert known.document["proof"]["status"] == "feasible"
    assert known.document["proof"]["bound_m_per_day"] is None


def test_a_folder_that_cannot_be_written_keeps_nothing_and_says_nothing(
    found: tuple[Path, RoomOutcome], shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from flatstock.actions import room_kept
    from flatstock.errors import Fault

    def full(path: Path, data: bytes) -> None:
        raise Refused(Fault(str(path), "can't be written", "make room"))

    monkeypatch.setattr(room_kept, "write_bytes", full)
    (shop / KEPT).unlink()
    keep_room(shop, found[1])
    assert known_room(shop) is None


def test_the_shops_lots_of_now_count_for_the_fire_load(found: tuple[Path, RoomOutcome], shop: Path) -> None:
    lots = (shop / "lots.csv").read_text("utf-8")
    (shop / "lots.csv").write_text(
        lots.replace("L-2301,hdpe,caps,dark,412,", "L-2301,hdpe,caps,dark,12,"), "utf-8"
    )
    known = known_room(shop)
    assert known is not None
    assert known.document["fire"] != found[1].document["fire"]
    assert rooms.retold(found[1], shop).document["fire"] == known.document["fire"]


def test_a_search_that_is_told_to_stop_ends_with_what_there_is(demo_folder: Path) -> None:
    outcome = place_room(demo_folder, seconds=60, stop=lambda: True)
    assert outcome.document["proof"]["status"] in ("unknown", "feasible")
    assert outcome.document["proof"]["seconds"] < 30
