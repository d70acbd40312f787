"""Plans along aisles: whatever the model with aisles lets stand can be walked; tight rooms are found that way."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Column
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.aisles import ask_for_aisles
from flatstock.starting.room.solve.along_aisles import along_aisles
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Learnt
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.spots import Spots
from tests.starting.room.making import DOOR, ask, at, box, hall, stand, work
from tests.starting.room.solve.oracle import a_room

WALKING = {"stand", "way_out", "narrow", "trolley", "near"}


@pytest.mark.parametrize("seed", range(1, 40))
def test_where_aisles_are_asked_for_everybody_gets_out_and_the_trolley_through(seed):
    question, ways = a_room(seed), {"lanes": 2, "walk_parts": 3} if seed % 3 == 0 else {}
    master = Master(question, open_spots(question))
    ask_for_aisles(master, aisles=2, trolley_parts=1, **ways)
    said = solve(master.model, seconds=20, workers=1)
    if said.values is not None:
        faults = judge(question, Plan(placements=master.where(said))).faults
        assert [fault.text for fault in faults if fault.rule in WALKING] == []


def test_some_of_those_rooms_have_a_plan_with_aisles():
    found = 0
    for seed in range(1, 12):
        question = a_room(seed)
        spots = open_spots(question)
        found += any(
            True
            for _ in along_aisles(
                question, spots, learnt=Learnt(), until=time.monotonic() + 1, stop=lambda: False
            )
        )
    assert found >= 2  # the others are too small for them, or for anything


def round_a_corner(**rules):
    """A working place at the end of a passage 0.7 m wide with a corner in it."""
    solid = Column(id="W", box=Rect(700, 0, 2300, 3300))
    corners = ((0, 0), (6000, 0), (6000, 4000), (0, 4000))
    door = replace(DOOR, x1_mm=6000, x2_mm=6000, y1_mm=1000, y2_mm=3000)
    item = box("A", 700, 600, [work(depth=700)], placed=at(0, 0, 180))
    return ask(item, room=hall(corners, (door,), columns=(solid,)), rules=rules, grid=100)


@pytest.mark.parametrize("longest", [None, 12000])
def test_a_narrow_way_with_a_corner_in_it_is_a_lane(longest):
    question = round_a_corner(narrow_longest_mm=7000, escape_longest_mm=longest)
    assert judge(question, stand(A=(0, 0, 180))).passes
    assert with_lanes(question, 0).status == "impossible"
    assert with_lanes(question, 1).values is not None


@pytest.mark.parametrize(
    ("rules", "passes"),
    [
        ({"narrow_longest_mm": 5000}, False),
        ({"narrow_longest_mm": 7000, "escape_longest_mm": 6000}, False),
        ({"narrow_longest_mm": 7000, "escape_longest_mm": 11000}, True),
    ],
)
def test_a_lane_is_no_longer_than_its_limits(rules, passes):
    question = round_a_corner(**rules)
    assert judge(question, stand(A=(0, 0, 180))).passes == passes
    assert (with_lanes(question, 2).values is not None) == passes


def with_lanes(question, lanes):
    master = Master(question, Spots(question))
    ask_for_aisles(master, aisles=2, trolley_parts=1, lanes=lanes, walk_parts=3)
    return solve(master.model, seconds=20, workers=1, lean=True)


def room_of(question, length, width):
    """The question in a rectangle of another size, its door in the right wall."""
    door = replace(question.room.doors[0], x1_mm=length, x2_mm=length)
    corners = ((0, 0), (length, 0), (length, width), (0, width))
    points = tuple(replace(p, x_mm=0, y_mm=0) for p in question.room.supply_points)
    room = replace(question.room, outline_mm=corners, written_mm=None, doors=(door,), supply_points=points)
    return replace(question, room=room)


@pytest.mark.parametrize(("length", "width"), [(6200, 5600), (6000, 5600)])
def test_the_demo_s_things_find_room_on_two_thirds_of_its_floor(demo_room, length, width):
    """Of 9.2 m x 5.6 m: in 25 s of setting things down one by one nothing was found; the last one wants lanes."""
    tight = room_of(demo_room, length, width)
    until = time.monotonic() + 300
    plans = along_aisles(tight, open_spots(tight), learnt=Learnt(), until=until, stop=lambda: False)
    assert any(judge(tight, Plan(placements=where)).passes for where in plans)


def side_by_side(length, width):
    """Two benches that need 4.4 m beside each other or 4.0 m behind each other."""
    corners = ((0, 0), (length, 0), (length, width), (0, width))
    door = replace(DOOR, x1_mm=length, x2_mm=length, y1_mm=500, y2_mm=1500, clear_width_mm=1000)
    things = [box(name, 2200, 1000, [work(depth=1000)], may_turn_deg=(0,)) for name in ("M", "N")]
    return ask(*things, room=hall(corners, (door,)), grid=100)


def test_a_wall_further_out_is_named_as_what_would_help():
    helps = [one.what for one in answer(side_by_side(3400, 2500), seconds=12).would_help]
    assert "the right wall 1.00 m further out" in helps


def test_where_a_machine_is_longer_than_the_room_only_walls_help():
    corners = ((0, 0), (2800, 0), (2800, 2400), (0, 2400))
    door = replace(DOOR, x1_mm=2800, x2_mm=2800, y1_mm=500, y2_mm=1500, clear_width_mm=1000)
    room = hall(corners, (door,))
    found = answer(ask(box("M", 3000, 1000, [work(depth=800)]), room=room, grid=100), seconds=12)
    helps = {one.what for one in found.would_help}
    assert found.proof.status == "impossible"
    assert {"the right wall 0.50 m further out", "the upper wall 1.00 m further out"} & helps
    assert all("wall" in what or what == "without M" for what in helps)


def test_where_a_plan_stands_nobody_is_told_that_it_is_doubtful():
    """The search that betters it would be broken off."""
    question = ask(box("A", 1000, 1000), room=hall(), grid=500)
    stands, told = list[object](), list[str]()
    for where in along_aisles(
        question,
        open_spots(question),
        learnt=Learnt(),
        until=time.monotonic() + 60,
        stop=lambda: bool(stands),
        doubtful=lambda: told.append("doubtful"),
    ):
        stands.append(where)
    assert (len(stands), told) == (1, [])
