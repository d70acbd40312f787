"""The search's own walks against the judge's exact ones, and its cuts against the judge's faults."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import networkx as nx
import pytest

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Door, Placement, Rules
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.board import Board
from flatstock.starting.room.solve.cuts import Explainer
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks, unit_for
from flatstock.starting.room.ways import Ways
from tests.starting.room.making import ask, at, box, hall, work
from tests.starting.room.solve.oracle import a_room, places


def test_the_demo_is_walked_exactly_on_points_50_mm_apart(demo_room):
    assert unit_for(demo_room) == (50, True)


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_of_a_drawn_room_passes_and_walks_as_the_judge_says(seed):
    question, random = a_room(seed), Random(seed)
    walks, seen = Walks(question), 0
    assert walks.exact or any(item.placed for item in question.items)
    for _ in range(30):
        where = {i.id: i.placed or random.choice(list(places(question, i))) for i in question.items}
        rules = {fault.rule for fault in judge(question, Plan(placements=where)).faults}
        if rules & {"inside", "zone_inside", "overlap", "column", "zone_free"} or not walks.exact:
            continue  # only what boxes allow is ever walked through
        seen += 1
        assert walks.passes(where) == (not rules & {"stand", "way_out", "narrow", "exit_far", "trolley"})
        exact = Ways(question, where)
        for flow in question.flows:
            access = walks.free(where)[0]
            assert walks.between(flow.start, flow.to, where, access) == exact.walk_mm(flow.start, flow.to)


@pytest.mark.parametrize("seed", range(5))
def test_steps_over_the_board_are_those_of_networkx(seed):
    random = Random(seed)
    board = Board(Rect(0, 0, 2000, 1500), 100)
    free = board.full
    for _ in range(6):
        solid = Rect(random.randrange(0, 1800, 100), random.randrange(0, 1300, 100), 300, 200)
        free &= ~board.blocked(solid, 200, 200)
    graph = nx.grid_2d_graph(board.columns, board.rows)
    flags = board.flags(free)
    graph.remove_nodes_from([node for node in list(graph) if not flags[node]])
    start = random.choice(sorted(graph))
    far = nx.single_source_shortest_path_length(graph, start)
    ends = sorted(graph)
    points = [board.point((200 * x, 200 * y)) for x, y in ends]
    assert board.steps(board.point((200 * start[0], 200 * start[1])), free, points) == [
        far.get(end) for end in ends
    ]


@pytest.mark.parametrize("seed", range(40))
def test_whatever_a_cut_forbids_the_judge_refuses_too(seed):
    question, random = a_room(seed), Random(seed)
    if any(item.placed for item in question.items):
        question = replace(question, items=tuple(replace(i, placed=None) for i in question.items))
    spots, explainer = Spots(question), Explainer(question, Spots(question))
    choices = {item.id: list(places(question, item)) for item in question.items}
    where = {name: random.choice(every) for name, every in choices.items()}
    rules = {fault.rule for fault in judge(question, Plan(placements=where)).faults}
    if rules & {"inside", "zone_inside", "overlap", "column", "zone_free"}:
        return
    for cut in explainer.cuts(where, {}):
        for _ in range(25):
            other = where | {
                one.item: Placement(
                    x_mm=int(spots.xs[random.randint(*one.x)]), y_mm=int(spots.ys[random.randint(*one.y)]),
                    turned_deg=random.choice(one.turns),
                )
                for one in cut.boxes
            }  # fmt: skip
            found = judge(question, Plan(placements=other))
            if cut.walk is None:
                assert found.faults
            elif not {f.rule for f in found.faults} & {"inside", "zone_inside", "overlap", "stand"}:
                walk = found.ways.walk_mm(cut.walk[0], cut.walk[1])
                assert walk is None or 2 * walk >= cut.walk[2]


def test_a_thing_that_bars_the_only_way_is_blamed_wherever_it_bars_it():
    """A corridor 1000 mm wide: the box A stands across it, B behind it; C in a corner has no part in it."""
    room = hall(((0, 0), (8000, 0), (8000, 1000), (0, 1000)), (_door(),))
    question = ask(
        box("A", 1000, 1000), box("B", 500, 300, [work(depth=600)]), box("C", 100, 100), room=room, grid=100
    )
    where = {"A": at(4000, 0), "B": at(500, 700), "C": at(0, 0)}
    cut = Explainer(question, Spots(question)).cuts(where, {})[0]
    blamed = {one.item: one for one in cut.boxes}
    assert set(blamed) == {"A", "B"}
    low, high = blamed["A"].x
    assert high - low >= 5


def test_a_room_without_anything_to_walk_for_asks_for_no_exit():
    question = ask(box("A"), box("B"), rules={"escape_width_mm": Rules().escape_width_mm}, grid=500)
    assert Walks(question).passes({"A": at(0, 0), "B": at(2000, 0)})


def _door():
    return Door(id="D1", x1_mm=8000, y1_mm=0, x2_mm=8000, y2_mm=1000, clear_width_mm=1000, exit=True)
