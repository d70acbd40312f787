"""Walks, ways out and the trolley: closed forms, widths to the millimetre, and Dijkstra on a fine grid."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from flatstock.starting.room.check import judge
from flatstock.starting.room.question import Door, Flow, Near, Placement, Trolley, Zone
from flatstock.starting.room.trolley import reach, route, turning_side
from flatstock.starting.room.ways import Ways
from tests.starting.room.making import ask, at, box, hall, stand, work


def rules_broken(question, plan):
    return sorted({fault.rule for fault in judge(question, plan).faults})


def ways(question, plan):
    return Ways(question, plan.placements)


def post(name, width=2):
    """A tiny item whose zone's middle is 1 m below its corner: an end of a walk that is in nobody's way."""
    return box(name, width, width, zones=[work("z", depth=2)])


# ---------------------------------------------------------------- closed forms


def test_the_way_round_a_box_is_as_long_as_computed_by_hand():
    """By hand: 600 mm square from (0, 0) to (4, 0) m, box over x 1..3, y -1..1: 6.6 m."""
    room = hall(((-2000, -3000), (6000, -3000), (6000, 3000), (-2000, 3000)), ())
    question = ask(box("BOX", 2000, 2000), post("A"), post("B"), room=room)
    plan = stand(BOX=(1000, -1000), A=(-1, 301), B=(3999, 301))
    question = replace(
        question,
        items=(question.items[0], *(replace(i, zones=(work("z", depth=602),)) for i in question.items[1:])),
    )
    assert ways(question, plan).walk_mm("A.z", "B.z") == 6600


def test_a_walk_in_an_empty_hall_is_as_long_as_its_sides():
    question = ask(box("A", zones=[work()]), box("B", zones=[work()]))
    assert ways(question, stand(A=(0, 800), B=(4000, 3000))).walk_mm("A.work", "B.work") == 4000 + 2200


def test_the_corners_of_a_walk_add_up_to_its_length():
    wall = box("WALL", 300, 4000)
    question = ask(box("A", zones=[work()]), box("B", zones=[work()]), wall)
    found = ways(question, stand(A=(0, 800), B=(5000, 800), WALL=(3000, 0)))
    path = found.path_mm("A.work", "B.work")
    assert path[0] == (500, 400)
    assert path[-1] == (5500, 400)
    length = sum(abs(x2 - x1) + abs(y2 - y1) for (x1, y1), (x2, y2) in pairwise(path))
    assert length == found.walk_mm("A.work", "B.work") == 5000 + 2 * (4000 + 300 - 400)
    assert all(x1 == x2 or y1 == y2 for (x1, y1), (x2, y2) in pairwise(path))


# ---------------------------------------------------------------- widths


def between(gap):
    """A place behind two boxes that leave a gap of this width."""
    low, high = box("LOW", 500, 2500), box("HIGH", 500, 3500 - gap)
    question = ask(box("A", 500, 500, zones=[work("work", "right", 1000, from_mm=-200, to_mm=700)]), low, high,
                   rules={"access_width_mm": 900})  # fmt: skip
    return question, stand(A=(0, 2500), LOW=(4000, 0), HIGH=(4000, 2500 + gap))


@pytest.mark.parametrize(("gap", "broken"), [(900, []), (899, ["way_out"])])
def test_a_gap_of_the_escape_width_passes_and_one_millimetre_less_does_not(gap, broken):
    """By hand."""
    assert rules_broken(*between(gap)) == broken


def closet(width, length):
    """A place at the end of a passage of this width and length, which opens into the hall."""
    upper = box("UPPER", length, 2000)
    zone = Zone(id="work", kind="work", side="right", depth_mm=width, to_mm=width)
    question = ask(box("A", 100, width, zones=[zone]), upper)
    return question, stand(A=(0, 0), UPPER=(0, width))


@pytest.mark.parametrize(("width", "broken"), [(600, []), (599, ["stand"])])
def test_a_standing_place_holds_the_access_square(width, broken):
    assert rules_broken(*closet(width, 2000)) == broken


@pytest.mark.parametrize(("length", "broken"), [(2800, []), (2801, ["narrow"])])
def test_a_narrow_way_is_no_longer_than_its_limit(length, broken):
    """From the place at (400, 300) to the first middle of a 900 mm square, at (length + 450, 450): length + 50 mm
    along the passage and 150 mm up, at most 3000 mm."""
    assert rules_broken(*closet(600, length)) == broken


def test_a_place_for_maintenance_needs_only_the_service_width():
    question, plan = closet(500, 2000)
    assert rules_broken(question, plan) == ["stand"]
    a = question.items[0]
    service = replace(a, zones=(replace(a.zones[0], kind="service"),))
    assert rules_broken(replace(question, items=(service, *question.items[1:])), plan) == []


def test_the_way_to_the_exit_is_no_longer_than_its_limit():
    """From (500, 400) to a 900 mm square against the door at x = 7550, y 2450 to 3550: 7050 + 2050 mm. Under
    the item, 800 mm from the wall, the way is narrow until the square is past it: to (1450, 450), 1000 mm."""
    question, plan = ask(box("A", zones=[work()])), stand(A=(0, 800))
    out = ways(question, plan).out("A.work")
    assert (out.exit, out.walk_mm, out.narrow_mm) == ("D1", 9100, 1000)
    for limit, broken in ((9100, []), (9099, ["exit_far"])):
        rules = replace(question.rules, escape_longest_mm=limit)
        assert rules_broken(replace(question, rules=rules), plan) == broken


def test_the_nearest_of_two_exits_is_taken():
    other = Door(id="D2", x1_mm=0, y1_mm=0, x2_mm=0, y2_mm=1000, clear_width_mm=1000, exit=True)
    question = ask(box("A", zones=[work()]), room=hall(doors=(*hall().doors, other)))
    assert ways(question, stand(A=(1500, 2000))).out("A.work").exit == "D2"


def test_an_exit_behind_a_box_is_no_exit():
    question = ask(box("A", zones=[work()]), box("B", 500, 6000), rules={"door_clear_mm": 0})
    assert rules_broken(question, stand(A=(0, 800), B=(6000, 0))) == ["way_out"]


@pytest.mark.parametrize(("limit", "broken"), [(6200, []), (6199, ["near"])])
def test_a_near_walk_is_right_to_a_millimetre(limit, broken):
    pair = Near(a="A.work", b="B.work", how="walk", longest_mm=limit)
    question = ask(box("A", zones=[work()]), box("B", zones=[work()]), near=(pair,))
    assert rules_broken(question, stand(A=(0, 800), B=(4000, 3000))) == broken


UNIT = 100
side = st.integers(2, 12)
spot = st.integers(0, 40)
rooms = st.lists(
    st.tuples(spot, spot, side, side, st.sampled_from([0, 90, 180, 270])), min_size=2, max_size=5
)

# ---------------------------------------------------------------- the trolley

TROLLEY = Trolley(length_mm=1300, width_mm=900, clearance_mm=150)


def test_the_turning_disc_is_the_diagonal_and_twice_the_clearance():
    """By Pythagoras 1811.6 mm, here the next whole millimetre."""
    assert turning_side(Trolley(length_mm=1250, width_mm=850, clearance_mm=150)) == 1812
    assert turning_side(Trolley(length_mm=300, width_mm=400)) == 500


def corridor(width, **moves):
    """Two trolley places at the ends of an L of two corridors of one width."""
    outline = ((0, 0), (8000, 0), (8000, width), (width, width), (width, 8000), (0, 8000))
    end = work("end", "front", 1000, trolley=True)
    question = ask(box("A", width, 100, zones=[end]), box("B", width, 100, zones=[end]),
                   room=hall(outline, ()), rules={"trolley": replace(TROLLEY, **moves)})  # fmt: skip
    return question, stand(A=(0, 7900), B=(7900, 0, 270))


@pytest.mark.parametrize(
    ("width", "moves", "reaches"),
    [(1600, "any", True), (1599, "any", False), (1882, "along", True), (1881, "along", False)],
)
def test_a_trolley_goes_round_a_corner_sideways_or_where_it_can_turn(width, moves, reaches):
    """Box 1.6 x 1.2 m with its clearance. On four swivelling castors it goes along one leg and sideways along the
    other, which must be 1.6 m wide; on two fixed ones it must turn: sqrt(1300^2 + 900^2) + 300 = 1881.1 mm."""
    question, plan = corridor(width, moves=moves)
    found = reach(question, plan.placements)
    assert (found.nowhere + found.cut_off == ()) is reaches


def test_the_trolleys_way_is_as_long_as_it_must_be_and_says_where_it_turns():
    """L of two corridors of 1.9 m: on fixed castors it turns once, where the square of 1.882 m is free, that is with
    its middle 941 to 959 mm from both walls of one corridor; on swivelling ones it need not."""
    question, plan = corridor(1900, moves="along")
    found = route(question, plan.placements, "A.end", "B.end")
    (turn,) = found.turns_mm
    assert any(941 <= at <= 959 for at in turn)
    free, placed = corridor(1900, moves="any")
    assert route(free, placed.placements, "A.end", "B.end").turns_mm == ()
    narrow, where = corridor(1881, moves="along")
    assert route(narrow, where.placements, "A.end", "B.end") is None


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_the_trolley_has_a_way_between_its_zones_exactly_where_it_reaches_them(data):
    boxes = data.draw(rooms)
    question, where = random_plan(boxes)
    moves = data.draw(st.sampled_from(["any", "along"]))
    question = replace(question, rules=replace(question.rules, trolley=replace(TROLLEY, moves=moves)))
    found = reach(question, where)
    way = route(question, where, "I0.a", "I1.a")
    assert (way is not None) == (found.nowhere + found.cut_off == ())


def test_a_way_out_leads_from_the_place_to_the_door_and_is_as_long_as_it_says():
    question, plan = closet(600, 2800)
    found = ways(question, plan)
    path, out = found.out_path_mm("A.work"), found.out("A.work")
    assert path[0] == (400, 300)
    assert path[-1][0] == 7550
    assert sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(path)) == out.walk_mm


def test_a_trolley_zone_that_it_fits_nowhere_is_named():
    end = work("end", depth=700, trolley=True)
    question = ask(box("A", 6000, 4200, zones=[end]), rules={"trolley": TROLLEY})
    assert reach(question, {"A": at(0, 1199)}).nowhere == ("A.end",)
    assert reach(question, {"A": at(0, 1200)}).nowhere == ()


@pytest.mark.parametrize(("clear", "broken"), [(1200, []), (1199, ["goods_door"])])
def test_a_goods_door_is_as_wide_as_the_trolley_and_its_clearance(clear, broken):
    door = replace(hall().doors[0], goods=True, clear_width_mm=clear)
    trolley = replace(TROLLEY, door_clearance_mm=300)
    assert rules_broken(ask(room=hall(doors=(door,)), rules={"trolley": trolley}), stand()) == broken


def test_nothing_is_asked_of_a_trolley_that_is_not_there():
    question, plan = corridor(600, moves="any")
    assert (
        reach(replace(question, rules=replace(question.rules, trolley=None)), plan.placements).cut_off == ()
    )


# ---------------------------------------------------------------- against a general graph library

some_boxes = st.lists(st.tuples(spot, spot, side, side), max_size=7)


def fine_graph(solids, width, length, height):
    """Every multiple of 50 mm where the square's middle may be, joined to its neighbours where it may slide."""

    def free(x, y):
        if not (width / 2 <= x <= length - width / 2 and width / 2 <= y <= height - width / 2):
            return False
        return not any(
            s.x_mm - width / 2 < x < s.right_mm + width / 2 and s.y_mm - width / 2 < y < s.top_mm + width / 2
            for s in solids
        )  # fmt: skip

    step = UNIT // 2
    graph = nx.Graph()
    for i in range(2 * length // UNIT + 1):
        for j in range(2 * height // UNIT + 1):
            x, y = i * step, j * step
            if free(x, y):
                graph.add_node((x, y))
                for dx, dy in ((step, 0), (0, step)):
                    if free(x + dx, y + dy) and free(x + dx / 2, y + dy / 2):
                        graph.add_edge((x, y), (x + dx, y + dy), weight=step)
    return graph


@settings(max_examples=30, deadline=None)
@given(some_boxes, st.sampled_from([200, 500, 600]), st.tuples(spot, spot), st.tuples(spot, spot))
def test_walks_are_those_of_dijkstra_on_a_fine_grid(boxes, width, start, end):
    """networkx on a grid of 50 mm, on which every edge and middle of these rooms lies: there the grid is exact."""
    room = hall(((0, 0), (5000, 0), (5000, 5000), (0, 5000)), ())
    posts = [box("A", 2, 2, zones=[Zone(id="z", kind="swing", side="front", depth_mm=100, from_mm=-49, to_mm=51)]),
             box("B", 2, 2, zones=[Zone(id="z", kind="swing", side="front", depth_mm=100, from_mm=-49, to_mm=51)])]  # fmt: skip
    solid = [box(f"S{n}", w * UNIT, h * UNIT) for n, (_, _, w, h) in enumerate(boxes)]
    question = ask(*posts, *solid, room=room, rules={"access_width_mm": width})
    where = {f"S{n}": at(x * UNIT, y * UNIT) for n, (x, y, _, _) in enumerate(boxes)}
    graph = fine_graph([i.footprint(where[i.id]) for i in solid], width, 5000, 5000)
    points = [(x * UNIT + 500, y * UNIT + 500) for x, y in (start, end)]
    found = _walk_between(question, where, points)
    if not all(p in graph for p in points):
        assert found is None
    elif nx.has_path(graph, *points):
        assert found == nx.shortest_path_length(graph, *points, weight="weight")
    else:
        assert found is None


def _walk_between(question, where, points):
    """The walk between two zones whose middles are at the points; their posts stand far outside the room."""
    moved = []
    for item, (x, y) in zip(question.items[:2], points, strict=True):
        far = Zone(id="z", kind="swing", side="front", depth_mm=2 * (9000 - y), from_mm=x - 1, to_mm=x + 1)
        moved.append(replace(item, zones=(far,)))
    question = replace(question, items=(*moved, *question.items[2:]))
    posts = {"A": at(0, 9000), "B": at(0, 9000)}
    return Ways(question, {**where, **posts}).walk_mm("A.z", "B.z")


# ---------------------------------------------------------------- laws


def random_plan(boxes):
    items = [box(f"I{n}", w * UNIT, h * UNIT, zones=[work("a", "front", 800, trolley=n < 2), Zone(id="b", kind="service", side="left", depth_mm=500)])
             for n, (_, _, w, h, _) in enumerate(boxes)]  # fmt: skip
    flows = tuple(Flow(start="I0.a", to=f"I{n}.a", trips_per_day=1.0) for n in range(1, len(boxes)))
    question = ask(*items, rules={"trolley": TROLLEY}, flows=flows)
    return question, {f"I{n}": at(x * UNIT, y * UNIT, turn) for n, (x, y, _, _, turn) in enumerate(boxes)}


def turned_room(question, where):
    """The whole room turned by 90 degrees counter-clockwise: (x, y) becomes (-y, x)."""

    def door(d):
        return replace(d, x1_mm=-d.y1_mm, y1_mm=d.x1_mm, x2_mm=-d.y2_mm, y2_mm=d.x2_mm)

    outline = tuple((-y, x) for x, y in question.room.outline_mm)
    room = replace(question.room, outline_mm=outline, doors=tuple(map(door, question.room.doors)))
    turned = {}
    for item in question.items:
        old = item.footprint(where[item.id])
        turned[item.id] = Placement(
            x_mm=-old.top_mm, y_mm=old.x_mm, turned_deg=(where[item.id].turned_deg + 90) % 360
        )
    return replace(question, room=room), turned


@settings(max_examples=30, deadline=None)
@given(rooms)
def test_turning_the_whole_room_changes_nothing_but_coordinates(boxes):
    question, where = random_plan(boxes)
    turned, moved = turned_room(question, where)
    before, after = judge(question, stand_at(where)), judge(turned, stand_at(moved))
    assert sorted((f.rule, f.about) for f in before.faults) == sorted((f.rule, f.about) for f in after.faults)
    for flow in question.flows:
        assert before.ways.walk_mm(flow.start, flow.to) == after.ways.walk_mm(flow.start, flow.to)
    for item in question.items:
        assert before.ways.out(f"{item.id}.a") == after.ways.out(f"{item.id}.a")


@settings(max_examples=30, deadline=None)
@given(rooms)
def test_mirroring_a_room_of_symmetric_items_changes_nothing_but_coordinates(boxes):
    """Left and right change places; zones on the front alone are their own mirror image."""
    question, where = random_plan([(x, y, w, h, turn % 180) for x, y, w, h, turn in boxes])
    question = replace(question, items=tuple(replace(i, zones=i.zones[:1]) for i in question.items))
    right = question.room.bounds.right_mm
    room = replace(question.room, outline_mm=tuple((right - x, y) for x, y in reversed(question.room.outline_mm)),
                   doors=tuple(replace(d, x1_mm=right - d.x1_mm, x2_mm=right - d.x2_mm) for d in question.room.doors))  # fmt: skip
    mirrored = {}
    for item in question.items:
        old = item.footprint(where[item.id])
        turn = (360 - where[item.id].turned_deg) % 360
        mirrored[item.id] = Placement(x_mm=right - old.right_mm, y_mm=old.y_mm, turned_deg=turn)
    before, after = judge(question, stand_at(where)), judge(replace(question, room=room), stand_at(mirrored))
    assert sorted((f.rule, f.about) for f in before.faults) == sorted((f.rule, f.about) for f in after.faults)
    for flow in question.flows:
        assert before.ways.walk_mm(flow.start, flow.to) == after.ways.walk_mm(flow.start, flow.to)


CUT_OFF = [(0, 0, 2, 2, 0), (0, 0, 8, 2, 90), (0, 0, 2, 2, 0), (0, 16, 2, 3, 90), (14, 0, 2, 3, 0)]


@settings(max_examples=30, deadline=None)
@example(CUT_OFF, 12)  # nowhere in one zone before, then cut off from another
@given(rooms, st.integers(1, 30))
def test_a_larger_room_is_never_worse_for_a_plan(boxes, more):
    """The lower and the left wall move out; the exit stays where it is."""
    question, where = random_plan(boxes)
    larger = ((-more * UNIT, -more * UNIT), (8000, -more * UNIT), (8000, 6000), (-more * UNIT, 6000))
    grown = replace(question, room=replace(question.room, outline_mm=larger))
    before, after = judge(question, stand_at(where)), judge(grown, stand_at(where))
    allowed = {(f.rule, f.about) for f in before.faults} | {
        (rule, f.about)
        for f in before.faults
        for rule in ("stand", "way_out", "narrow", "exit_far", "trolley")
    }
    # which of two parts of the floor the trolley is said to be cut off from may change with the parts
    lost = any(f.rule == "trolley" for f in before.faults)
    assert {(f.rule, f.about) for f in after.faults if not (lost and f.rule == "trolley")} <= allowed
    for flow in question.flows:
        short, long = after.ways.walk_mm(flow.start, flow.to), before.ways.walk_mm(flow.start, flow.to)
        assert long is None or (short is not None and short <= long)


def stand_at(where):
    from flatstock.starting.room.plan import Plan

    return Plan(placements=where)
