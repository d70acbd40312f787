"""Boxes and zones as placed, walls, doors."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.starting.room.question import TURNS, Door, Item, Placement, Room, Rules, Zone, facing
from flatstock.starting.room.rectangles import Rect, gap, gap_over, gap_reaches, overlap
from flatstock.starting.room.walls import (
    door_strip,
    exit_squares,
    floor_m2,
    inside,
    inward,
    is_inside,
    outside,
)

PRESS = Item(id="P", kind="hot_press", length_mm=1700, width_mm=1300)
SIDES = ["front", "right", "back", "left"]
ELL = Room(outline_mm=((0, 0), (9000, 0), (9000, 3000), (4000, 3000), (4000, 7000), (0, 7000)))

sizes = st.integers(1, 4000)
items = st.builds(Item, id=st.just("I"), kind=st.just("other"), length_mm=sizes, width_mm=sizes)
zones = st.builds(
    Zone, id=st.just("z"), kind=st.just("work"), side=st.sampled_from(SIDES), depth_mm=sizes,
    from_mm=st.integers(-500, 500), to_mm=st.none() | st.integers(501, 3000),
).filter(lambda z: True)  # fmt: skip


def turned_by_hand(item, zone, turn):
    """The zone's corners turned about the box's own corner by a rotation matrix, then shifted to a box at 0, 0."""
    cos, sin = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[turn]
    own = item.zone_offset(zone, 0)

    def turned(x, y):
        return x * cos - y * sin, x * sin + y * cos

    corners = [turned(x, y) for x in (0, item.length_mm) for y in (0, item.width_mm)]
    dx, dy = -min(x for x, _ in corners), -min(y for _, y in corners)
    mine = [turned(x, y) for x in (own.x_mm, own.right_mm) for y in (own.y_mm, own.top_mm)]
    xs, ys = [x + dx for x, _ in mine], [y + dy for _, y in mine]
    return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


@given(items, zones, st.sampled_from(TURNS))
def test_a_zone_turns_with_its_item_as_a_rotation_matrix_turns_it(item, zone, turn):
    if zone.to_mm is None and zone.from_mm >= item.side_length(zone.side):
        return
    assert item.zone_offset(zone, turn) == turned_by_hand(item, zone, turn)


@pytest.mark.parametrize(
    ("side", "turn", "expected"),
    [("front", 0, (0, -1)), ("front", 90, (1, 0)), ("front", 180, (0, 1)), ("front", 270, (-1, 0)),
     ("left", 90, (0, -1)), ("right", 270, (0, -1)), ("back", 90, (-1, 0))],
)  # fmt: skip
def test_a_side_faces_where_its_zone_lies(side, turn, expected):
    """Counter-clockwise, the front towards -y at first: the definition in flatstock.room/1."""
    assert facing(side, turn) == expected
    zone = PRESS.zone_as_placed(
        Zone(id="z", kind="work", side=side, depth_mm=500), Placement(x_mm=0, y_mm=0, turned_deg=turn)
    )
    middle_x, middle_y = (c / 2 for c in zone.centre_twice)
    length, width = PRESS.size(turn)
    outward = (middle_x - length / 2, middle_y - width / 2)
    assert outward[0] * expected[0] + outward[1] * expected[1] > 0


def test_a_turned_item_changes_its_sides_over():
    assert PRESS.footprint(Placement(x_mm=100, y_mm=200, turned_deg=90)) == Rect(100, 200, 1300, 1700)


def test_a_zone_may_reach_past_the_corner_of_its_item():
    panel = Item(id="E", kind="supply_panel", length_mm=600, width_mm=200)
    clear = Zone(id="clear", kind="service", side="front", depth_mm=920, from_mm=-100, to_mm=700)
    assert panel.zone_as_placed(clear, Placement(x_mm=1000, y_mm=2000)) == Rect(900, 1080, 800, 920)


def test_touching_is_not_overlapping():
    assert not overlap(Rect(0, 0, 10, 10), Rect(10, 10, 10, 10))
    assert overlap(Rect(0, 0, 10, 10), Rect(9, 9, 10, 10))


def test_a_gap_is_straight_and_exact():
    """3-4-5: boxes 300 and 400 apart along the axes are 500 apart."""
    a, b = Rect(0, 0, 100, 100), Rect(400, 500, 100, 100)
    assert gap(a, b) == 500
    assert gap_reaches(a, b, 500)
    assert not gap_reaches(a, b, 501)
    assert gap_over(a, b, 499)
    assert not gap_over(a, b, 500)


def test_an_l_shaped_room_is_cut_into_what_is_room_and_what_is_not():
    assert sum(r.area_mm2 for r in inside(ELL)) == 9000 * 3000 + 4000 * 4000
    assert sum(r.area_mm2 for r in outside(ELL)) == 5000 * 4000
    assert floor_m2(ELL) == 43.0


@pytest.mark.parametrize(("box", "fits"), [((3000, 2000, 1000, 2000), True), ((3001, 2000, 1000, 2000), False),
                                           ((8000, 0, 1000, 3000), True), ((8000, 0, 1001, 1000), False)])  # fmt: skip
def test_a_box_may_touch_the_walls_of_an_l_shaped_room_and_not_cross_them(box, fits):
    assert is_inside(ELL, Rect(*box)) is fits


def test_a_room_with_a_court_on_two_sides_keeps_both_arms():
    """A U: two arms 2 m wide on a base 3 m high."""
    u = Room(
        outline_mm=(
            (0, 0),
            (9000, 0),
            (9000, 8000),
            (7000, 8000),
            (7000, 3000),
            (2000, 3000),
            (2000, 8000),
            (0, 8000),
        )
    )
    assert floor_m2(u) == 27 + 10 + 10
    assert is_inside(u, Rect(0, 7000, 2000, 1000))
    assert is_inside(u, Rect(7000, 7000, 2000, 1000))
    assert not is_inside(u, Rect(1000, 4000, 2000, 1000))


@pytest.mark.parametrize(("ends", "into"), [((9000, 500, 9000, 1500), (-1, 0)), ((1000, 0, 2000, 0), (0, 1)),
                                            ((5000, 3000, 6000, 3000), (0, -1)), ((0, 500, 0, 1500), (1, 0))])  # fmt: skip
def test_a_door_looks_into_the_room(ends, into):
    door = Door(id="D", x1_mm=ends[0], y1_mm=ends[1], x2_mm=ends[2], y2_mm=ends[3], clear_width_mm=900)
    assert inward(ELL, door) == into


@pytest.mark.parametrize(
    ("opens", "leads_out", "deep"),
    [
        ("out", True, 900),
        ("out", False, None),
        ("in", True, 1200),
        ("in", False, 1200),
        ("in_double", False, 600),
        ("in_double", True, 900),
        ("slides", True, 900),
    ],
)
def test_the_strip_before_a_door_is_the_leafs_width_where_that_is_more(opens, leads_out, deep):
    door = Door(
        id="D",
        x1_mm=9000,
        y1_mm=500,
        x2_mm=9000,
        y2_mm=1700,
        clear_width_mm=1200,
        exit=leads_out,
        opens=opens,
    )
    strip = door_strip(ELL, door, Rules(door_clear_mm=900))
    assert strip == (None if deep is None else Rect(9000 - deep, 500, deep, 1200))


def test_an_exit_narrower_than_the_way_out_is_none():
    door = Door(id="D", x1_mm=9000, y1_mm=500, x2_mm=9000, y2_mm=1700, clear_width_mm=899, exit=True)
    room = Room(outline_mm=ELL.outline_mm, doors=(door,))
    assert exit_squares(room, Rules(escape_width_mm=900)) == []
    assert exit_squares(room, Rules(escape_width_mm=899)) == [(door, Rect(8101, 650, 899, 899))]
