"""Random small rooms against every plan there is, each judged one by one.

FLATSTOCK_ROOMS says how many of them (4 unless it says otherwise).
"""

from __future__ import annotations

import os

from flatstock.starting.room.check import judge
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.solve.relief import Relief
from flatstock.starting.room.variants import without
from tests.starting.room.solve.oracle import a_room, best_of_all

ROOMS = int(os.environ.get("FLATSTOCK_ROOMS", "4"))


def assert_smallest(question, found, seed):
    """What is named can't stand alone either, and can as soon as any of it goes."""
    named = [name for name in found.conflict if name in question.by_id]
    part = without(question, [item.id for item in question.items if item.id not in named])
    assert best_of_all(part) is None, seed
    for name in named if "not proven" not in found.why and "not decided" not in found.why else ():
        rest = without(part, [name])
        assert not rest.items or best_of_all(rest) is not None, (seed, name)


def test_plans_pass_are_the_best_when_proven_and_impossible_rooms_are(monkeypatch):
    monkeypatch.setattr(Relief, "look", lambda *_, **__: None)  # what would help takes all the time there is
    seen = {"optimal": 0, "feasible": 0, "impossible": 0, "unknown": 0}
    for seed in range(8, 8 + ROOMS):
        question = a_room(seed)
        found = answer(question, seconds=20)
        seen[found.proof.status] += 1
        least = best_of_all(question)
        if found.plan is None:
            assert found.proof.status in ("impossible", "unknown"), seed
            assert found.proof.status == "unknown" or least is None, seed
            if found.proof.status == "impossible":
                assert_smallest(question, found, seed)
            continue
        assert judge(question, found.plan).passes, seed
        assert least is not None, seed
        if found.proof.bound_m_per_day is not None:
            assert found.proof.bound_m_per_day <= least + 1e-6, seed
        if found.proof.status == "optimal":
            assert abs(found.proof.walk_m_per_day - least) < 2e-3, seed
    assert min(seen["optimal"], seen["impossible"]) > 0, seen
