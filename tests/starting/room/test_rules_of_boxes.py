"""One plan that keeps each rule of boxes and zones, and one that breaks it by a millimetre."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.starting.room.check import judge
from flatstock.starting.room.question import Apart, Column, InLine, Low, MoveIn, Near, Zone
from flatstock.starting.room.rectangles import Rect
from tests.starting.room.conftest import BY_HAND
from tests.starting.room.making import ask, at, box, hall, stand, work

ELL = ((0, 0), (9000, 0), (9000, 3000), (4000, 3000), (4000, 7000), (0, 7000))


def rules_broken(question, plan):
    return sorted({fault.rule for fault in judge(question, plan).faults})


def sentences(question, plan):
    return [fault.text for fault in judge(question, plan).faults]


def test_a_box_stands_against_the_wall_and_not_in_it():
    question = ask(box("A"))
    assert rules_broken(question, stand(A=(0, 5000))) == []
    assert sentences(question, stand(A=(0, 5001))) == ["A reaches 0.001 m outside the room"]


def test_a_box_stays_out_of_the_corner_of_an_l_shaped_room():
    question = ask(box("A"), room=hall(ELL, ()))
    assert rules_broken(question, stand(A=(3000, 5000))) == []
    assert sentences(question, stand(A=(3100, 5000))) == ["A reaches 0.10 m x 1.00 m outside the room"]


def test_two_boxes_may_touch_and_not_overlap():
    question = ask(box("A"), box("B"))
    assert rules_broken(question, stand(A=(0, 0), B=(1000, 0))) == []
    assert sentences(question, stand(A=(0, 0), B=(999, 0))) == ["A and B overlap by 0.001 m x 1.00 m"]


def test_a_box_stands_beside_a_column_and_not_on_it():
    question = ask(box("A"), room=hall(columns=(Column(id="C1", box=Rect(1000, 0, 300, 300)),)))
    assert rules_broken(question, stand(A=(0, 0))) == []
    assert sentences(question, stand(A=(1, 0))) == ["A stands 0.001 m x 0.30 m on C1"]


def test_the_strip_before_an_exit_stays_clear():
    question = ask(box("A"))
    assert rules_broken(question, stand(A=(6100, 2500))) == []
    assert sentences(question, stand(A=(6101, 2500))) == [
        "A stands 0.001 m x 1.00 m in the 0.90 m that stay clear before D1"
    ]


def test_a_zone_reaches_to_the_wall_and_not_beyond():
    question = ask(box("A", zones=[work(depth=800)]))
    assert rules_broken(question, stand(A=(3000, 800))) == []
    assert sentences(question, stand(A=(3000, 799)))[0] == "A.work reaches 0.001 m outside the room"


def test_a_zone_is_free_of_other_items_and_of_columns():
    question = ask(
        box("A", zones=[work(depth=800)]),
        box("B"),
        room=hall(columns=(Column(id="C1", box=Rect(6000, 0, 500, 500)),)),
    )
    assert rules_broken(question, stand(A=(3000, 1800), B=(3000, 0))) == []
    assert sentences(question, stand(A=(3000, 1799), B=(3000, 0)))[0] == "B stands 1.00 m x 0.001 m in A.work"
    assert rules_broken(question, stand(A=(5000, 1000), B=(0, 0))) == []
    assert sentences(question, stand(A=(5001, 1000), B=(0, 0))) == ["C1 stands 0.001 m x 0.30 m in A.work"]


def test_what_a_zone_allows_may_stand_in_it():
    zone = replace(work(depth=800), allow=("B", "C1"))
    room = hall(columns=(Column(id="C1", box=Rect(3900, 1200, 100, 100)),))
    question = ask(box("A", zones=[zone]), box("B", 200, 200), room=room)
    assert rules_broken(question, stand(A=(3000, 1800), B=(3000, 1000))) == []


def test_zones_may_lie_on_each_other_unless_one_is_exclusive():
    """Two machines 1.7 x 1.3 m face to face share 1.2 m of floor between them: 6.46 m2 and not 8.50."""
    press = box("A", 1700, 1300, zones=[work(depth=1200)])
    other = replace(press, id="B")
    plan = stand(A=(1000, 2500), B=(1000, 0, 180))
    question = ask(press, other)
    assert rules_broken(question, plan) == []
    shared = 1.7 * (1.3 + 1.2 + 1.3)
    assert (round(shared, 2), round(2 * 1.7 * (1.3 + 1.2), 2)) == (6.46, 8.50)
    alone = replace(press, zones=(work(depth=1200, exclusive=True),))
    assert sentences(ask(alone, other), plan) == [
        "A.work shares 1.70 m x 1.20 m of floor with B.work, and must share none"
    ]
    assert rules_broken(ask(alone, other), stand(A=(1000, 3700), B=(1000, 0, 180))) == []


def test_an_item_with_its_head_room_goes_under_the_ceiling_and_under_a_beam():
    tall = box("A", height_mm=2000, head_room_mm=300)
    for height, broken in ((2300, []), (2299, ["height"])):
        assert rules_broken(ask(tall, room=hall(height_mm=height)), stand(A=(0, 0))) == broken
        beam = hall(low=(Low(id="BEAM", box=Rect(999, 0, 200, 6000), height_mm=height),))
        assert rules_broken(ask(tall, room=beam), stand(A=(0, 0))) == broken
        assert rules_broken(ask(tall, room=beam), stand(A=(2000, 0))) == []


def test_a_gap_of_near_and_apart_is_right_to_a_millimetre():
    """Boxes 300 and 400 mm apart along the axes are 500 apart in a straight line."""
    plan = stand(A=(0, 0), B=(1300, 1400))
    for limit, broken in ((500, []), (499, ["near"])):
        near = Near(a="A", b="B", how="gap", longest_mm=limit)
        assert rules_broken(ask(box("A"), box("B"), near=(near,)), plan) == broken
    for limit, broken in ((500, []), (501, ["apart"])):
        apart = Apart(a="A", b="B", shortest_mm=limit)
        assert rules_broken(ask(box("A"), box("B"), apart=(apart,)), plan) == broken


def test_what_burns_stands_off_what_is_hot():
    hot, flake = box("HOT", hot_gap_mm=1500), box("FLAKE", combustible=True)
    assert rules_broken(ask(hot, flake), stand(HOT=(0, 0), FLAKE=(2500, 0))) == []
    assert sentences(ask(hot, flake), stand(HOT=(0, 0), FLAKE=(2499, 0))) == [
        "FLAKE, which burns, is 1.499 m from HOT, under 1.50 m"
    ]


LINE = InLine(a="A", b="B", side_a="right", side_b="left", gap_min_mm=900, gap_max_mm=1700, offset_max_mm=100)


@pytest.mark.parametrize(
    ("where", "broken"),
    [
        (at(1900, 0), []),
        (at(1899, 0), ["in_line"]),
        (at(2700, 0), []),
        (at(2701, 0), ["in_line"]),
        (at(1900, 100), []),
        (at(1900, 101), ["in_line"]),
        (at(1900, 0, 180), ["in_line"]),
        (at(1900, 0, 90), ["in_line"]),
    ],
)
def test_items_in_line_face_each_other_over_the_gap_that_was_asked_for(where, broken):
    question = ask(box("A"), box("B"), in_line=(LINE,))
    plan = stand(A=(0, 0))
    assert rules_broken(question, replace(plan, placements={**plan.placements, "B": where})) == broken


def test_items_in_line_may_be_turned_together():
    question = ask(box("A"), box("B"), in_line=(LINE,))
    assert rules_broken(question, stand(A=(0, 0, 90), B=(0, 2000, 90))) == []
    assert rules_broken(question, stand(A=(0, 2000, 90), B=(0, 0, 90))) == ["in_line"]


def test_the_table_stands_between_what_is_in_line():
    question = ask(box("A"), box("B"), box("T", 900, 900), in_line=(replace(LINE, via="T"),))
    assert rules_broken(question, stand(A=(0, 0), B=(1900, 0), T=(1000, 50))) == []
    assert sentences(question, stand(A=(0, 0), B=(1900, 0), T=(1000, 1100))) == [
        "T does not stand between A and B"
    ]


def test_everything_stands_somewhere_unless_it_is_optional():
    assert sentences(ask(box("A")), stand()) == ["A stands nowhere"]
    assert rules_broken(ask(box("A", optional=True)), stand()) == []
    assert rules_broken(ask(box("A")), stand(A=(0, 0), Z=(3000, 0))) == ["unknown"]


def test_a_corner_lies_on_the_grid_and_the_turn_is_one_that_may_be():
    question = ask(
        box("A", may_turn_deg=(0, 180)), grid=100, room=hall(((50, 0), (8000, 0), (8000, 6000), (50, 6000)))
    )
    assert rules_broken(question, stand(A=(150, 200, 180))) == []
    assert rules_broken(question, stand(A=(200, 200))) == ["grid"]
    assert rules_broken(question, stand(A=(150, 200, 90))) == ["turn"]


def test_what_stands_there_already_stays():
    fixed = box("A", placed=at(33, 0))
    assert rules_broken(ask(fixed, grid=100), stand(A=(33, 0))) == []
    assert rules_broken(ask(fixed, grid=100), stand(A=(100, 0))) == ["moved"]


def test_a_machine_that_does_not_pass_its_door_is_a_fault_unless_it_stands_inside():
    tall = box("A", height_mm=2500, move_in=MoveIn(door="D1"))
    doors = (replace(hall().doors[0], clear_height_mm=2400),)
    assert rules_broken(ask(tall, room=hall(doors=doors)), stand(A=(0, 0))) == ["move_in"]
    inside = replace(tall, placed=at(0, 0))
    assert rules_broken(ask(inside, room=hall(doors=doors)), stand(A=(0, 0))) == []


def test_a_swing_is_no_standing_place():
    swing = Zone(id="out", kind="swing", side="front", depth_mm=300)
    assert rules_broken(ask(box("A", zones=[swing])), stand(A=(3000, 300))) == []
    standing = replace(swing, kind="work")
    assert rules_broken(ask(box("A", zones=[standing])), stand(A=(3000, 300))) == ["stand"]


# ---------------------------------------------------------------- whoever changes a plan that passes is found out


@pytest.mark.parametrize("name", BY_HAND)
def test_the_judge_refuses_a_plan_with_an_item_gone_outside_turned_off_its_grid_or_onto_another(
    name, demo_room, demo_plan
):
    where = demo_plan.placements[name]
    other = next(n for n in BY_HAND if n != name)
    onto = demo_plan.placements[other]
    for changed, rule in (
        (None, "missing"),
        (replace(where, x_mm=where.x_mm + 20_000), "inside"),
        (replace(where, x_mm=where.x_mm + 50), "grid"),
        (replace(where, x_mm=onto.x_mm, y_mm=onto.y_mm), "overlap"),
    ):
        placements = {**demo_plan.placements, name: changed}
        plan = replace(demo_plan, placements={n: at for n, at in placements.items() if at is not None})
        assert rule in rules_broken(demo_room, plan), (name, rule)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(sorted(BY_HAND)),
    st.integers(0, 92),
    st.integers(0, 56),
    st.sampled_from([0, 90, 180, 270]),
)
def test_what_passes_after_a_move_passes_an_independent_look_too(demo_room, demo_plan, name, x, y, turn):
    """Boxes and exclusive floor drawn on a raster of 100 mm, on which every edge of the demo's room but the panel's
    zone lies: no cell may be taken twice."""
    plan = replace(demo_plan, placements={**demo_plan.placements, name: at(100 * x, 100 * y, turn)})
    taken = set()
    clash = False
    for item in demo_room.items:
        cells = raster(item.footprint(plan.placements[item.id]))
        clash = clash or bool(cells & taken) or not all(0 <= i < 92 and 0 <= j < 56 for i, j in cells)
        taken |= cells
    for item in demo_room.items:
        for zone in item.zones:
            floor = raster(item.zone_as_placed(zone, plan.placements[item.id]))
            clash = clash or bool(floor & (taken - raster(item.footprint(plan.placements[item.id]))))
            clash = clash or not all(0 <= i < 92 and 0 <= j < 56 for i, j in floor)
    boxes = {"inside", "overlap", "zone_inside", "zone_free"}
    assert bool(boxes & set(rules_broken(demo_room, plan))) is clash


def raster(box):
    """Cells of 100 mm that a rectangle takes, whole or in part."""
    return {
        (i, j)
        for i in range(box.x_mm // 100, -(-box.right_mm // 100))
        for j in range(box.y_mm // 100, -(-box.top_mm // 100))
    }
