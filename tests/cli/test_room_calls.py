"""`flatstock room` as it is called: --first, --seconds, and lengths as room.toml has them."""

from __future__ import annotations

import json
import re
import shutil
import time
from dataclasses import replace

import pytest

from flatstock.workshop.start import StartAnswers, write_new

ROOM = """
format = "flatstock.room/1"

[room]
outline_ft = [[0, 0], [16, 0], [16, 12], [0, 12]]
height_ft = 10
doors = [{ id = "D1", x1_ft = 0, y1_ft = 0, x2_ft = 4, y2_ft = 0, clear_width_in = 44, clear_height_ft = 7, exit = true }]

[[items]]
id = "BENCH"
class = "lay_up_bench"
length_in = 60
width_in = 30
height_in = 36
zones = [{ id = "stand", kind = "work", side = "front", depth_in = 36 }]
"""


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    from flatstock.demo import copy_to

    folder = tmp_path_factory.mktemp("room-calls") / "demo"
    copy_to(folder)
    return folder


def test_first_stops_at_a_plan_that_passes_long_before_its_seconds(call, demo):
    began = time.monotonic()
    done = call("room", demo, "--first", "--seconds", "300", "--json")
    assert time.monotonic() - began < 60
    assert done.code == 0
    assert done.document["proof"]["status"] == "feasible"
    assert done.document["alternatives"] == []
    assert "less than 0.0 m" not in call("room", demo, "--first", "--seconds", "300").out


def test_seconds_end_the_search_with_the_best_plan_so_far(call, demo):
    began = time.monotonic()
    done = call("room", demo, "--seconds", "4", "--json")
    assert done.code in (0, 1)
    assert time.monotonic() - began < 40
    assert done.document["proof"]["seconds"] < 20


@pytest.mark.parametrize("seconds", ["0", "-3", "90000", "soon"])
def test_seconds_that_are_none_are_refused_in_a_sentence(call, demo, seconds):
    done = call("room", demo, "--seconds", seconds)
    assert done.code == 2
    assert "--seconds" in done.err
    assert "Traceback" not in done.err


def test_a_drawn_plan_is_not_searched_for(call, demo):
    done = call("room", demo, "--check", "plan.json", "--first")
    assert done.code == 2
    assert "--first" in done.err


def test_a_room_in_feet_without_a_shop_is_answered_in_feet_and_inches(call, tmp_path):
    (tmp_path / "room.toml").write_text(ROOM, "utf-8")
    done = call("room", tmp_path, "--first", "--seconds", "20")
    assert done.code == 0
    assert "5 ft x 2 ft 6 in" in done.out
    assert not re.search(r"\d m\b", done.out)


def test_why_a_room_in_feet_can_not_be_is_said_in_feet(call, tmp_path):
    (tmp_path / "room.toml").write_text(ROOM.replace("length_in = 60", "length_in = 230"), "utf-8")
    done = call("room", tmp_path, "--seconds", "5")
    assert done.code == 1
    assert "16 ft x 12 ft" in done.out + done.err
    assert not re.search(r"\d m\b", done.out + done.err)


def test_a_new_shop_in_inches_has_its_room_answered_in_feet(call, tmp_path):
    write_new(tmp_path / "shop", StartAnswers(units="us"))
    with_shop = call("room", tmp_path / "shop", "--first", "--seconds", "60").out
    alone = tmp_path / "alone"
    alone.mkdir()
    shutil.copy(tmp_path / "shop" / "room.toml", alone)
    without = call("room", alone, "--first", "--seconds", "60").out
    for text in (with_shop, without):
        assert " ft" in text
        assert "[m]" not in text


def test_a_room_in_metres_stays_in_metres(call, demo):
    done = call("room", demo, "--first", "--seconds", "60")
    assert "What stands where [m]" in done.out
    assert " ft" not in done.out


def test_every_other_plan_is_named_with_a_file_that_check_takes(call, tmp_path):
    (tmp_path / "room.toml").write_text(ROOM, "utf-8")
    done = call("room", tmp_path, "--seconds", "5", "--json")
    others = done.document["alternatives"]
    assert others
    for one in others:
        judged = call("room", tmp_path, "--check", tmp_path / one["file"], "--json")
        assert judged.code == 0
        assert judged.document["walk_m_per_day"] == one["walk_m_per_day"]


def test_items_and_loads_are_taken_whatever_their_case(call, demo):
    done = call("room", demo, "--fix", "saw=0,0", "--first", "--seconds", "5")
    assert "SAW.feed reaches" in done.out
    assert call("supply", demo, "--without", "saw", "Extract").code == 0
    assert "the nearest is SAW" in call("room", demo, "--without", "sew").err


def test_the_best_plan_of_the_room_as_it_is_written_is_kept_for_the_app(call, tmp_path):
    (tmp_path / "room.toml").write_text(ROOM, "utf-8")
    kept = tmp_path / "room-found.json"
    assert call("room", tmp_path, "--fix", "BENCH=5ft,5ft", "--first").code == 0
    assert call("room", tmp_path, "--without", "BENCH", "--first").code == 0
    assert not kept.exists()  # of another question than room.toml asks
    done = call("room", tmp_path, "--seconds", "2", "--json")
    assert json.loads(kept.read_text("utf-8"))["items"] == done.document["items"]


def test_a_plan_that_walks_farther_does_not_take_the_place_of_one_that_is_kept(tmp_path):
    from flatstock.actions.room_kept import keep_better, known_room
    from flatstock.actions.rooms import place_room

    flow = '\n[[flows]]\nfrom = "BENCH.stand"\nto = "SHELF.reach"\ntrips_per_day = 10\nby = "person"\n'
    shelf = ROOM[ROOM.index("[[items]]") :].replace("BENCH", "SHELF").replace('"stand"', '"reach"')
    (tmp_path / "room.toml").write_text(ROOM + shelf + flow, "utf-8")
    near = place_room(tmp_path, seconds=3)
    far = place_room(tmp_path, fix={"BENCH": (300, 1500, 0), "SHELF": (3300, 1500, 0)}, first=True)
    far = replace(far, question=near.question)
    assert near.document["walk_m_per_day"] < far.document["walk_m_per_day"]
    for outcome in (far, near, far):
        keep_better(tmp_path, outcome)
    assert known_room(tmp_path).plan.placements == near.plan.placements
