"""Floor asked for where people and the trolley cross a line: no plan that passes is refused, barriers are."""

from __future__ import annotations

import itertools
from dataclasses import replace
from random import Random

import pytest

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Trolley
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.crossings import cross_lines
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.room_to_walk import room_to_walk
from tests.starting.room.making import DOOR, ask, at, box, hall, work
from tests.starting.room.solve.oracle import _parts, a_room


def said(question, ask_for=room_to_walk):
    master = Master(question, open_spots(question))
    ask_for(master)
    return solve(master.model, seconds=20, workers=1).status


def standing(question, where):
    items = tuple(replace(item, placed=where[item.id]) for item in question.items)
    return replace(question, items=items)


def passing(question, most):
    """Some plans of a small room that the judge passes, spread by chance over those there are."""
    random = Random(1)
    shuffled = replace(question, items=tuple(random.sample(question.items, len(question.items))))
    for where in itertools.islice(_parts(shuffled, {}), 0, 4000, 97):
        if judge(question, Plan(placements=where)).passes:
            yield where
            most -= 1
            if not most:
                return


@pytest.mark.parametrize("seed", range(1, 60, 4))
def test_no_plan_that_passes_is_refused(seed):
    question = a_room(seed)
    for where in passing(question, most=3):
        assert said(standing(question, where)) != "impossible"


def barrier(gap):
    """Two boxes across the hall, a gap between them, and somebody behind them."""
    where = {"A": at(3000, 0), "B": at(3000, 3000 + gap), "C": at(500, 2500)}
    things = [box("A", 500, 3000), box("B", 500, 3000 - gap), box("C", 500, 500, [work(depth=700)])]
    return standing(ask(*things, grid=100), where)


def test_a_barrier_with_a_gap_of_the_access_width_lets_somebody_out():
    assert said(barrier(600)) != "impossible"


def test_a_barrier_with_a_gap_one_step_narrower_is_refused():
    assert said(barrier(500)) == "impossible"


def test_a_line_deeper_in_than_the_narrow_limit_asks_for_a_way_out_s_width():
    near_and_far = [
        replace(q, rules=replace(q.rules, narrow_longest_mm=n)) for q in [barrier(600)] for n in (3000, 300)
    ]
    assert [said(question) == "impossible" for question in near_and_far] == [False, True]


def trolley_room(gap):
    """The trolley is wanted on both sides of a barrier."""
    where = {"A": at(3000, 0), "B": at(3000, 3000 + gap), "C": at(500, 2500), "E": at(5000, 4500)}
    wanted = work(depth=1500, trolley=True)
    things = [
        box("A", 500, 3000), box("B", 500, 3000 - gap), box("C", 1000, 500, [wanted]), box("E", 1000, 500, [wanted]),
    ]  # fmt: skip
    rules = {"trolley": Trolley(length_mm=1200, width_mm=900)}
    return standing(ask(*things, rules=rules, room=hall(doors=(DOOR,)), grid=100), where)


@pytest.mark.parametrize(("gap", "refused"), [(900, False), (800, True)])
def test_a_barrier_must_let_the_trolley_through_as_people(gap, refused):
    assert (said(trolley_room(gap)) == "impossible") == refused


def test_without_zones_of_the_trolley_nothing_is_asked_for_it():
    assert said(barrier(600), lambda master: cross_lines(master, [])) != "impossible"
