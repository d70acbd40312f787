"""What walking has against plans is learnt once, for a question, its parts and whoever asks again."""

from __future__ import annotations

import time

import pytest

from flatstock.starting.room.solve.cuts import Cut, Learnt
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.prove import Proven, prove
from flatstock.starting.room.solve.spots import Box
from flatstock.starting.room.variants import without
from tests.starting.room.making import ask, box
from tests.starting.room.solve.oracle import a_room, best_of_all


def proven(question, learnt) -> Proven:
    until = time.monotonic() + 60
    return prove(question, open_spots(question), until=until, goal=False, learnt=learnt, workers=1)


def test_a_proof_that_is_taken_up_again_goes_on_where_it_was_left():
    question, learnt = a_room(68), Learnt()
    first = proven(question, learnt)
    assert first.status == "impossible"
    assert first.rounds > 2
    assert proven(question, learnt).rounds == 1


def test_a_cut_is_asked_of_those_questions_alone_that_have_its_things():
    learnt, whole = Learnt(), ask(box("A"), box("B"), box("C"))
    cuts = [Cut(tuple(Box(name, (0,), (0, 1), (0, 1)) for name in names)) for names in ("AB", "C", "BC")]
    learnt.add(cuts[:1])
    assert learnt.since(0, whole) == (1, cuts[:1])
    learnt.add(cuts[1:])
    assert learnt.since(1, without(whole, ["A"])) == (3, cuts[1:])
    assert learnt.since(0, without(whole, ["B"])) == (3, cuts[1:2])


@pytest.mark.parametrize("seed", range(2, 25, 2))
def test_what_was_learnt_of_a_room_refuses_no_part_of_it_that_can_stand(seed):
    question, learnt = a_room(seed), Learnt()
    proven(question, learnt)
    for item in question.items:
        part = without(question, [item.id])
        if part.items and best_of_all(part) is not None:
            assert proven(part, learnt).status != "impossible"
