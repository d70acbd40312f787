"""`--fix`: a thing that somebody wants to try somewhere is set down by the rules of any plan, and is still outside."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from flatstock.actions.rooms import check_room, place_room
from flatstock.errors import Refused
from flatstock.starting.room.check import judge
from flatstock.starting.room.question import MoveIn
from flatstock.starting.room.skate import way_in
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.variants import fixed
from tests.starting.room.making import DOOR, ask, at, box, hall, stand

LOW = replace(DOOR, clear_height_mm=2000)
PRESS = box("HOT", height_mm=2100, move_in=MoveIn(door="D1"))


def test_a_press_that_is_tried_somewhere_still_has_to_come_through_its_door():
    question = fixed(ask(PRESS, box("A"), room=hall(doors=(LOW,)), grid=100), {"HOT": at(1000, 1000)})
    found = answer(question, seconds=5)
    assert (found.proof.status, found.conflict) == ("impossible", ("HOT", "D1"))
    assert "2.10 m of 2.00 m height: it does not pass" in found.why
    faults = judge(question, stand(HOT=(1000, 1000), A=(4000, 4000))).faults
    assert [fault.rule for fault in faults] == ["move_in"]


def test_what_would_help_a_press_tried_behind_a_low_door_is_tried():
    question = fixed(ask(PRESS, room=hall(doors=(LOW,)), grid=100), {"HOT": at(1000, 1000)})
    assert any(one.what == "D1 0.10 m higher" for one in answer(question, seconds=5).would_help)


def test_a_press_that_stands_in_the_room_already_may_be_tried_elsewhere_whatever_its_door():
    standing = replace(PRESS, placed=at(33, 0))
    question = fixed(ask(standing, room=hall(doors=(LOW,)), grid=100), {"HOT": at(1717, 1000)})
    assert question.by_id["HOT"].placed == at(1717, 1000)
    assert judge(question, stand(HOT=(1717, 1000))).faults == ()


@pytest.mark.parametrize(
    ("asked", "tried"), [((1049, 1051), (1030, 1070)), ((-21, 79), (-70, 70)), ((30, 70), (30, 70))]
)
def test_a_thing_is_tried_at_the_nearest_place_of_the_grid_of_its_room(asked, tried):
    outline = ((30, -30), (8030, -30), (8030, 5970), (30, 5970))
    door = replace(DOOR, x1_mm=8030, x2_mm=8030)
    question = fixed(ask(box("A"), room=hall(outline, (door,)), grid=100), {"A": at(*asked)})
    assert question.by_id["A"].placed == at(*tried)


def test_a_thing_is_tried_turned_only_as_it_may_be():
    question = fixed(ask(box("A", may_turn_deg=(0, 180)), grid=100), {"A": at(1000, 1000, 90)})
    assert [f.rule for f in judge(question, stand(A=(1000, 1000, 90))).faults] == ["turn"]
    assert answer(question, seconds=2).proof.status == "impossible"


def test_what_is_tried_is_no_wall_to_what_comes_in():
    """A row of boxes from wall to wall, tried between the door and the press: they come in after it."""
    row = [box(f"B{n}", 1000, 1000) for n in range(6)]
    spots = {one.id: at(5000, 1000 * n) for n, one in enumerate(row)}
    question = ask(PRESS, *row, room=hall(doors=(DOOR,)), grid=100)
    assert way_in(fixed(question, spots), PRESS, at(1000, 1000)) is not None
    standing = tuple(replace(one, placed=spots.get(one.id)) for one in question.items)
    assert way_in(replace(question, items=standing), PRESS, at(1000, 1000)) is None


ROOM = """
format = "flatstock.room/1"
grid_mm = 100
[room]
outline_mm = [[0, 0], [6000, 0], [6000, 5000], [0, 5000]]
doors = [{ id = "D1", x1_mm = 0, y1_mm = 0, x2_mm = 1200, y2_mm = 0, clear_width_mm = 1100, exit = true }]
[[items]]
id = "SAW"
class = "saw"
length_mm = 1200
width_mm = 900
zones = [{ id = "feed", kind = "work", side = "front", depth_mm = 1000 }]
[[items]]
id = "BENCH"
class = "lay_up_bench"
length_mm = 1500
width_mm = 800
zones = [{ id = "stand", kind = "work", side = "front", depth_mm = 900 }]
"""


def test_a_plan_round_what_was_tried_off_the_grid_passes_the_judge_and_says_so(tmp_path):
    (tmp_path / "room.toml").write_text(ROOM, "utf-8")
    outcome = place_room(tmp_path, fix={"SAW": (1981, 1524, 0)}, first=True, seconds=20)
    saw = next(item for item in outcome.document["items"] if item["id"] == "SAW")
    assert (saw["x_mm"], saw["y_mm"]) == (2000, 1500)
    said = [one["text"] for one in outcome.document["warnings"] if one["code"] == "grid"]
    assert said == [
        "places go by 0.10 m: SAW is tried at 2.00 m, 1.50 m; grid_mm in room.toml makes them finer"
    ]
    drawn = tmp_path / "tried.json"
    drawn.write_text(json.dumps(outcome.document), "utf-8")
    assert check_room(tmp_path, drawn).plan == outcome.plan


def test_faults_of_a_thing_tried_beside_where_it_was_asked_for_say_where_it_is_tried(tmp_path):
    (tmp_path / "room.toml").write_text(ROOM, "utf-8")
    with pytest.raises(Refused) as refused:
        place_room(tmp_path, fix={"SAW": (2040, 1524, 0), "BENCH": (3100, 2000, 0)})
    told = [f for f in refused.value.faults if "SAW" in f.where]
    assert told
    assert all("SAW is tried at 2.00 m, 1.50 m" in f.instead for f in told)
