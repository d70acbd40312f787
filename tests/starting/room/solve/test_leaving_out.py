"""Things that need not stand: as few as may be are left out, or it is said how far that is known."""

from __future__ import annotations

from itertools import combinations

import pytest

from flatstock.starting.room.check import judge
from flatstock.starting.room.question import Door
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.variants import without
from tests.starting.room.making import ask, box, hall, work
from tests.starting.room.solve.oracle import best_of_all

DOOR = Door(id="D1", x1_mm=0, y1_mm=0, x2_mm=1000, y2_mm=0, clear_width_mm=1000, exit=True)


def room_of(length, *spare):
    room = hall(((0, 0), (length, 0), (length, 2000), (0, 2000)), (DOOR,))
    must = box("A", 1500, 500, [work()])
    return ask(must, *spare, room=room, grid=500, rules={"door_clear_mm": 500})


@pytest.mark.parametrize("length", [2000, 2500, 3000])
def test_as_few_are_left_out_as_trying_every_choice_says(length):
    spare = [box(name, 1500, 500, [work()], optional=True) for name in "BC"]
    question = room_of(length, *spare)
    most = next(
        len(spare) - out
        for out in range(len(spare) + 1)
        if any(
            best_of_all(without(question, [one.id for one in some])) is not None
            for some in combinations(spare, out)
        )
    )
    found = answer(question, seconds=8)
    assert judge(question, found.plan).passes
    assert len(found.plan.left_out) == len(spare) - most
    for because in found.plan.left_out.values():
        assert because.endswith("at least must be left out, proven")


def test_what_is_left_out_is_always_named():
    question = room_of(1500, *(box(name, 1400, 1400, [work()], optional=True) for name in "BCD"))
    found = answer(question, seconds=10)
    placed = set(found.plan.placements)
    assert set(found.plan.left_out) == {item.id for item in question.items} - placed
