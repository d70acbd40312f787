"""Why a room can't be is told as soon as it is known; then the time that was given goes into what would help."""

from __future__ import annotations

import time

import pytest

from flatstock.starting.room.solve import answering, conflict, others
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.solve.conflict import Conflict
from flatstock.starting.room.solve.first_looks import Refusal
from flatstock.starting.room.solve.race import Outcome
from flatstock.starting.room.solve.relief import Relief
from tests.starting.room.making import ask, box, hall

SMALL = hall(((0, 0), (3000, 0), (3000, 3000), (0, 3000)), ())


def crowd(**more):
    """More than there is floor for."""
    return ask(*(box(name, 1500, 1500) for name in "ABCDE"), room=SMALL, grid=500, **more)


def test_why_is_heard_before_what_would_help_is_tried(monkeypatch):
    heard: list[object] = []
    monkeypatch.setattr(Relief, "look", lambda *_, **__: heard.append("looked"))
    found = answer(crowd(), seconds=10, named=heard.append)
    assert found.proof.status == "impossible"
    assert heard[0] == found.why
    assert "looked" in heard[1:]


def test_a_thing_that_fits_nowhere_is_heard_too():
    heard: list[str] = []
    answer(ask(box("A", 4000, 4000), room=SMALL, grid=500), seconds=2, named=heard.append)
    assert "lies so nowhere" in heard[0]


def test_a_conflict_that_is_not_decided_is_asked_again_with_the_time_that_is_left(monkeypatch):
    asked: list[int] = []
    refused_none: list[object] = []

    def undecided_at_first(question, known, *, until, learnt, drafts):
        asked.append(len(question.items))
        refused_none.append(drafts)
        names = tuple(item.id for item in question.items)[: 5 if len(asked) == 1 else 4]
        return Conflict(Refusal(names, f"{len(names)} things"), names if len(asked) == 1 else ())

    monkeypatch.setattr(answering, "smallest_conflict", undecided_at_first)
    monkeypatch.setattr(Relief, "look", lambda *_, **__: None)
    found = answering._impossible(
        crowd(), Outcome(impossible=True), time.monotonic(), 20.0, lambda _: None, time.monotonic() + 20
    )
    assert asked == [5, 5]
    assert refused_none[0] is refused_none[1]  # what the model did not refuse is not asked of it again
    assert (found.conflict, found.why) == (("A", "B", "C", "D"), "4 things")
    asked.clear()
    now = time.monotonic()
    found = answering._impossible(crowd(), Outcome(impossible=True), now, 20.0, lambda _: None, now)
    assert asked == [5]
    assert found.why.startswith("5 things; in the time it was not proven")


def test_looking_for_help_goes_on_where_it_was_left():
    relief = Relief(crowd(), "ABCDE")
    relief.look(time.monotonic() - 1)
    assert relief.helps == ()
    relief.look(time.monotonic() + 60, till_enough=True)
    assert relief.enough
    assert any("wall" in one.what for one in relief.helps)
    known = len(relief.helps)
    relief.look(time.monotonic() + 60, till_enough=True)
    assert len(relief.helps) == known


def test_ctrl_c_ends_the_looking_with_what_is_known(monkeypatch):
    from flatstock.starting.room.solve import relief as module

    def stopped(*_, **__):
        raise KeyboardInterrupt

    relief = Relief(crowd(), "ABCDE")
    relief.look(time.monotonic() + 60, till_enough=True)
    before = relief.helps
    monkeypatch.setattr(module, "_plan", stopped)
    relief.look(time.monotonic() + 60)
    assert relief.helps == before


def test_a_room_too_small_both_ways_is_helped_by_two_walls():
    found = answer(ask(box("A", 4500, 4500), room=SMALL, grid=500), seconds=10)
    walls = [one.what for one in found.would_help if "wall" in one.what]
    assert walls == ["the right and the upper wall each 2.00 m further out"]  # not 4 m, and no wall alone


def test_ctrl_c_before_a_set_is_named_or_between_two_looks_is_answered_all_the_same(monkeypatch):
    def stopped(*_, **__):
        raise KeyboardInterrupt

    now = time.monotonic()
    monkeypatch.setattr(Relief, "__init__", stopped)
    found = answering._impossible(crowd(), Outcome(impossible=True), now, 20.0, lambda _: None, now + 20)
    assert (found.proof.status, len(found.conflict), found.would_help) == ("impossible", 5, ())
    monkeypatch.setattr(answering, "smallest_conflict", stopped)
    found = answering._impossible(crowd(), Outcome(impossible=True), now, 20.0, lambda _: None, now + 20)
    assert found.conflict == tuple("ABCDE")
    assert "not proven that nothing in this set is idle" in found.why


@pytest.mark.parametrize("at", ["shrink", "decide", "boxes_lie"])
def test_ctrl_c_while_the_set_is_named_ends_with_the_set_that_is_known(monkeypatch, at):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(conflict if at == "boxes_lie" else conflict._Naming, at, stopped)
    asked = []
    monkeypatch.setattr(Relief, "look", lambda *_, **__: asked.append(1))
    now = time.monotonic()
    found = answering._impossible(crowd(), Outcome(impossible=True), now, 20.0, lambda _: None, now + 20)
    assert found.proof.status == "impossible"
    assert set(found.conflict) <= set("ABCDE")
    assert len(found.conflict) == 5  # four stand in the four corners, and were met before it is decided
    assert ("not proven that nothing in this set is idle" in found.why) == (at == "shrink")
    assert asked == []  # nothing more is looked into
    assert time.monotonic() - now < 10


def test_ctrl_c_while_others_are_looked_for_keeps_the_plan(monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(others, "_add_plans", stopped)
    question = ask(box("A"), box("B"), grid=100)
    found = answer(question, seconds=3)
    assert set(found.plan.placements) == {"A", "B"}
