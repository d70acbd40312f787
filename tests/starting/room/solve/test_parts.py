"""Parts that are impossible on their own refuse the whole, and a limit to an exit is proven too near that way."""

from __future__ import annotations

import time
from dataclasses import replace

from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.parts import parts
from flatstock.starting.room.solve.prove import prove
from flatstock.starting.room.solve.relief import Relief
from tests.starting.room.making import ask, box, work
from tests.starting.room.solve.oracle import a_room


def test_the_line_of_the_demo_alone_can_t_be_within_three_metres_of_its_exit(demo_room):
    """Its load and its service side lie on both sides of a row of 4.3 m: one of them is farther by way round it."""
    near = replace(demo_room, rules=replace(demo_room.rules, escape_longest_mm=3000))
    line = next(parts(near))
    assert {item.id for item in line.items} == {"HOT", "COOL", "ROLL"}
    assert prove(line, open_spots(line), until=time.monotonic() + 60, goal=False).status == "impossible"


def test_what_stands_already_is_in_every_part_and_what_need_not_stand_in_none():
    for seed in range(1, 60):
        question = a_room(seed)
        for part in parts(question):
            assert {i.id for i in question.items if i.placed is not None} <= set(part.by_id)
            assert not any(item.optional and item.placed is None for item in part.items)
            assert len(part.items) < len(question.items)


def test_a_limit_to_the_exit_that_a_plan_keeps_to_is_answered_with_that_plan():
    near = ask(
        box("A", zones=[work()]), box("B", zones=[work()]), rules={"escape_longest_mm": 3500}, grid=100
    )
    assert answer(near, seconds=10, first=True).plan is not None


def test_a_limit_to_the_exit_is_in_the_sentence_of_a_conflict(monkeypatch):
    monkeypatch.setattr(Relief, "look", lambda *_, **__: None)
    near = ask(
        box("A", 5000, 2600, [work()]),
        box("B", 5000, 2600, [work()]),
        rules={"escape_longest_mm": 900},
        grid=100,
    )
    found = answer(near, seconds=60)
    assert found.proof.status == "impossible"
    assert "0.90 m" in found.why


def test_a_part_that_can_t_be_is_named_though_other_things_need_not_stand(monkeypatch):
    """Two long things and one that need not stand: it is in no conflict."""
    monkeypatch.setattr(Relief, "look", lambda *_, **__: None)
    things = [box(name, 5000, 2600, [work()]) for name in ("A", "B")]
    spare = replace(box("C"), optional=True)
    found = answer(ask(*things, spare, rules={"escape_longest_mm": 900}, grid=100), seconds=60)
    assert found.proof.status == "impossible"
    assert "C" not in found.conflict
