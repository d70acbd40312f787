"""Laws that hold whatever the room: turned and mirrored rooms, larger rooms, wider doors, fewer trips, one row."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations
from math import inf

import pytest

from flatstock.starting.room.check import judge
from flatstock.starting.room.question import Door, Flow, InLine, Item, Question, Room, Zone
from flatstock.starting.room.solve.answering import answer
from tests.starting.room.making import ask, at, box, hall, work
from tests.starting.room.solve.oracle import a_room

DRAWN = (5, 10, 17, 19, 29)  # rooms of the oracle with a plan


def proven(question: Question, seconds: float = 20):
    """The least walk, proven; None where it is proven that there is no plan."""
    found = answer(question, seconds=seconds)
    assert found.proof.status in ("optimal", "impossible")
    return found.proof.walk_m_per_day


@pytest.fixture(scope="module")
def least():
    return {seed: proven(a_room(seed)) for seed in DRAWN}


@pytest.mark.parametrize("seed", DRAWN)
def test_turning_a_room_by_a_quarter_leaves_the_walk(seed, least):
    assert proven(quarter(a_room(seed))) == pytest.approx(least[seed], abs=2e-3)


@pytest.mark.parametrize("seed", DRAWN)
def test_mirroring_a_room_leaves_the_walk(seed, least):
    assert proven(mirrored(a_room(seed))) == pytest.approx(least[seed], abs=2e-3)


@pytest.mark.parametrize("seed", DRAWN)
def test_fewer_trips_are_never_worse(seed, least):
    question = a_room(seed)
    fewer = tuple(replace(flow, trips_per_day=flow.trips_per_day / 2) for flow in question.flows)
    assert proven(replace(question, flows=fewer)) == pytest.approx(least[seed] / 2, abs=2e-3)


@pytest.mark.parametrize("narrow", [900, 1000])
def test_a_wider_door_is_never_worse(narrow):
    def through(width):
        door = Door(id="D1", x1_mm=0, y1_mm=0, x2_mm=width, y2_mm=0, clear_width_mm=width, exit=True)
        room = hall(((0, 0), (3000, 0), (3000, 3000), (0, 3000)), (door,))
        return proven(two_things(room=room))

    assert through(narrow + 500) <= through(narrow) + 2e-3


def test_a_larger_room_is_never_worse_and_one_too_small_is_impossible():
    def of(length):
        door = Door(id="D1", x1_mm=0, y1_mm=0, x2_mm=1000, y2_mm=0, clear_width_mm=1000, exit=True)
        room = hall(((0, 0), (length, 0), (length, 2500), (0, 2500)), (door,))
        return proven(two_things(room=room))

    walks = [of(length) for length in (1000, 1500, 2500, 3500)]
    assert walks[0] is None
    known = [inf if walk is None else walk for walk in walks]
    assert all(larger <= smaller + 2e-3 for smaller, larger in pairwise(known))
    assert known[-1] < inf


@pytest.mark.parametrize("lengths", [(1200, 800, 600, 1400), (600, 1600, 1000, 800)])
def test_things_in_one_row_stand_in_the_best_of_all_orders(lengths):
    """Boxes as deep as the room and fronts in a row: centre to centre, all orders counted by hand."""
    size = dict(zip("ABCD", lengths, strict=True))
    trips = {("A", "B"): 4, ("C", "D"): 7, ("A", "C"): 2, ("B", "D"): 3}
    least = min(walked_in_a_row(order, size, trips) for order in permutations(size))
    assert proven(in_a_row(size, trips, grid=200)) == pytest.approx(least, abs=2e-3)


def test_five_things_in_one_row_walk_58_7_metres_a_day():
    """Closed form over all 120 orders, worked apart: the order is B E A C D, or the other way round."""
    size = {"A": 1700, "B": 1300, "C": 1200, "D": 600, "E": 1300}
    trips = {("A", "E"): 8, ("D", "C"): 16, ("C", "A"): 8, ("E", "B"): 8, ("D", "B"): 2}
    assert walked_in_a_row("BEACD", size, trips) == pytest.approx(58.7)
    found = answer(in_a_row(size, trips, grid=100), seconds=60)
    assert found.plan is not None
    assert found.proof.walk_m_per_day == pytest.approx(58.7, abs=2e-3)
    row = "".join(sorted(size, key=lambda name: found.plan.placements[name].x_mm))
    assert row in ("BEACD", "DCAEB")


def in_a_row(size, trips, *, grid):
    """A row along the upper wall, people before it; the strip before the door keeps every box up there."""
    depth, total = 800, sum(size.values())
    door = Door(id="D1", x1_mm=0, y1_mm=0, x2_mm=total, y2_mm=0, clear_width_mm=total, exit=True)
    room = hall(((0, 0), (total, 0), (total, 1000 + depth), (0, 1000 + depth)), (door,))
    items = [box(name, length, depth, [work(depth=1000)], may_turn_deg=(0,)) for name, length in size.items()]
    flows = tuple(Flow(start=f"{a}.work", to=f"{b}.work", trips_per_day=n) for (a, b), n in trips.items())
    return ask(*items, room=room, rules={"door_clear_mm": 1000}, flows=flows, grid=grid)


def walked_in_a_row(order, size, trips):
    """Centre to centre [m/day]."""
    ends = [0]
    for name in order:
        ends.append(ends[-1] + size[name])
    middle = {name: (a + b) / 2 for name, (a, b) in zip(order, pairwise(ends), strict=True)}
    return sum(n * abs(middle[a] - middle[b]) for (a, b), n in trips.items()) / 1000


def test_two_machines_in_line_with_their_table_between_them():
    """Gap exactly the table's length: 1000 mm, nothing else would do."""
    a = box("A", 1000, 1000, [work()], may_turn_deg=(0,))
    b = box("B", 1000, 1000, [work()], may_turn_deg=(0,))
    table = box("T", 1000, 600, may_turn_deg=(0, 90))
    line = in_line(gap_min_mm=1000, gap_max_mm=1000)
    found = answer(ask(a, b, table, grid=100, in_line=(line,)), seconds=5, first=True)
    where = found.plan.placements
    assert where["B"].x_mm - where["A"].x_mm == 2000
    assert where["T"].x_mm == where["A"].x_mm + 1000


def test_a_thing_that_may_be_left_out_is_where_nothing_else_helps():
    room = hall(((0, 0), (3000, 0), (3000, 2000), (0, 2000)), (low_door(),))
    big = box("A", 1500, 1000, [work()])
    spare = box("B", 2500, 1000, [work()], optional=True)
    found = answer(ask(big, spare, room=room, grid=100, rules={"door_clear_mm": 0}), seconds=3)
    assert list(found.plan.placements) == ["A"]
    assert list(found.plan.left_out) == ["B"]


def test_what_can_not_stand_is_named_with_metres_and_with_what_was_tried():
    room = hall(((0, 0), (3000, 0), (3000, 2000), (0, 2000)), (low_door(),))
    first, second = box("SAW", 2000, 1000, [work()]), box("B", 2500, 1000, [work()])
    found = answer(
        ask(first, second, box("C", 200, 200), room=room, grid=100, rules={"door_clear_mm": 0}), seconds=8
    )
    assert found.proof.status == "impossible"
    assert set(found.conflict) == {"SAW", "B"}
    assert "3.00 m x 2.00 m" in found.why
    assert any(help_.what == "without SAW" for help_ in found.would_help)


def test_a_room_that_nobody_gets_out_of_is_impossible_at_once():
    doors = (replace(low_door(), clear_width_mm=800),)
    room = hall(((0, 0), (3000, 0), (3000, 3000), (0, 3000)), doors)
    found = answer(ask(box("A", zones=[work()]), box("B"), room=room, grid=100), seconds=2)
    assert (found.proof.status, found.conflict) == ("impossible", ("A",))
    assert "0.90 m wide" in found.why
    assert "D1 0.10 m wider" in [help_.what for help_ in found.would_help]


def test_what_stands_where_it_may_not_is_named_and_may_stand_elsewhere():
    room = hall(((0, 0), (3000, 0), (3000, 3000), (0, 3000)), (low_door(),))
    stuck = box("A", 800, 800, [work()], placed=at(2500, 2000))
    found = answer(ask(stuck, box("B", 500, 500), room=room, grid=100), seconds=3)
    assert found.conflict == ("A",)
    assert "0.30 m outside" in found.why
    assert [help_.what for help_ in found.would_help] == ["A somewhere else"]


def test_not_found_in_time_is_never_called_impossible(demo_room):
    found = answer(demo_room, seconds=0.0)
    assert found.plan is None
    assert found.proof.status == "unknown"
    assert "no proof" in found.why


def test_a_room_in_odd_millimetres_is_planned_too():
    room = hall(((0, 0), (3811, 0), (3811, 3505), (0, 3505)), (low_door(),))
    things = [box("A", 1219, 762, [work(depth=914)]), box("B", 610, 914, [work(depth=762)])]
    question = ask(*things, room=room, grid=100, flows=(Flow(start="A.work", to="B.work", trips_per_day=3),))
    found = answer(question, seconds=3)
    assert judge(question, found.plan).passes
    assert found.proof.bound_m_per_day <= found.proof.walk_m_per_day


def two_things(room):
    a, b = box("A", 1000, 500, [work(depth=600)]), box("B", 500, 500, [work(depth=600)])
    flows = (Flow(start="A.work", to="B.work", trips_per_day=10),)
    return ask(a, b, room=room, rules={"door_clear_mm": 500}, flows=flows, grid=500)


def low_door():
    return Door(id="D1", x1_mm=0, y1_mm=0, x2_mm=1000, y2_mm=0, clear_width_mm=1000, exit=True)


def in_line(**limits):
    return InLine(a="A", b="B", side_a="right", side_b="left", offset_max_mm=0, via="T", **limits)


def quarter(question: Question) -> Question:
    """The whole room turned counter-clockwise: (x, y) becomes (-y, x); things may be turned a quarter further."""
    room = question.room
    items = tuple(
        replace(item, may_turn_deg=tuple((turn + 90) % 360 for turn in item.may_turn_deg))
        for item in question.items
    )
    return replace(question, room=_room(room, lambda x, y: (-y, x)), items=items)


def mirrored(question: Question) -> Question:
    """The whole room and everything in it with left and right changed."""

    def flip(item: Item) -> Item:
        zones = tuple(_flipped(item, zone) for zone in item.zones)
        turns = tuple((360 - turn) % 360 for turn in item.may_turn_deg)
        return replace(item, zones=zones, may_turn_deg=turns)

    outline = _room(question.room, lambda x, y: (-x, y))
    return replace(
        question,
        room=replace(outline, outline_mm=tuple(reversed(outline.outline_mm))),
        items=tuple(map(flip, question.items)),
    )


def _flipped(item: Item, zone: Zone) -> Zone:
    side = {"left": "right", "right": "left"}.get(zone.side, zone.side)
    if zone.side in ("left", "right"):
        return replace(zone, side=side)
    length = item.side_length(zone.side)
    to = length if zone.to_mm is None else zone.to_mm
    return replace(zone, from_mm=length - to, to_mm=length - zone.from_mm)


def _room(room: Room, moved) -> Room:
    def rect(of):
        corners = [moved(of.x_mm, of.y_mm), moved(of.right_mm, of.top_mm)]
        x, y = min(c[0] for c in corners), min(c[1] for c in corners)
        across = abs(corners[0][0] - corners[1][0]), abs(corners[0][1] - corners[1][1])
        return replace(of, x_mm=x, y_mm=y, length_mm=across[0], width_mm=across[1])

    def door(of):
        (x1, y1), (x2, y2) = moved(of.x1_mm, of.y1_mm), moved(of.x2_mm, of.y2_mm)
        return replace(of, x1_mm=x1, y1_mm=y1, x2_mm=x2, y2_mm=y2)

    return replace(
        room,
        outline_mm=tuple(moved(x, y) for x, y in room.outline_mm),
        columns=tuple(replace(c, box=rect(c.box)) for c in room.columns),
        doors=tuple(map(door, room.doors)),
    )
