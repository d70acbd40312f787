"""Every rule that a plan of a room must keep, one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.starting.room.check.boxes import boxes, heights, zones
from flatstock.starting.room.check.pairs import apart, hot_gaps, in_line, near
from flatstock.starting.room.check.walking import flows, goods_doors, trolley, ways_out
from flatstock.starting.room.move_in import passage
from flatstock.starting.room.plan import Broken, Plan
from flatstock.starting.room.question import Item, Placement, Question
from flatstock.starting.room.ways import Ways
from flatstock.starting.room.words import metres

__all__ = ["Judgement", "judge"]


@dataclass(frozen=True)
class Judgement:
    """What is wrong with a plan, and the walks that were worked out on the way."""

    faults: tuple[Broken, ...]  #: none: the plan passes
    ways: Ways  #: of what the plan places

    @property
    def passes(self) -> bool:
        """True where the plan keeps every rule."""
        return not self.faults


def judge(question: Question, plan: Plan) -> Judgement:
    """Everything wrong with `plan`, in words; nothing is taken on trust from whoever made it.

    Items that the question does not know are faults and else left aside; what the plan leaves out is judged by
    whether it may be, and the rest as if it were not there.
    """
    where = {name: at for name, at in plan.placements.items() if name in question.by_id}
    ways = Ways(question, where)
    faults = (
        *_placed(question, plan),
        *boxes(question, where),
        *zones(question, where),
        *heights(question, where),
        *in_line(question, where),
        *near(question, where, ways),
        *apart(question, where),
        *hot_gaps(question, where),
        *ways_out(question, where, ways),
        *flows(question, where, ways),
        *trolley(question, where),
        *goods_doors(question),
        *_come_in(question, plan),
    )
    return Judgement(faults, ways)


def _placed(question: Question, plan: Plan) -> Iterator[Broken]:
    """Everything stands once, on the grid, turned as it may be; what stood there already still does."""
    for name in plan.placements:
        if name not in question.by_id:
            yield Broken("unknown", (name,), f"{name} is nothing that was asked for")
    for item in question.items:
        at = plan.placements.get(item.id)
        if at is None:
            if not item.optional:
                yield Broken("missing", (item.id,), f"{item.id} stands nowhere")
        else:
            if item.placed is not None and at != item.placed:
                text = f"{item.id} was {_at(item.placed)}, and may not be moved to {_at(at)}"
                yield Broken("moved", (item.id,), text)
            if not item.there:
                yield from _set_down(question, item, at)


def _set_down(question: Question, item: Item, at: Placement) -> Iterator[Broken]:
    if at.turned_deg not in item.may_turn_deg:
        turns = ", ".join(f"{turn}°" for turn in item.may_turn_deg)
        yield Broken("turn", (item.id,), f"{item.id} is turned {at.turned_deg}°, and may be turned {turns}")
    first = question.room.bounds
    if (at.x_mm - first.x_mm) % question.grid_mm or (at.y_mm - first.y_mm) % question.grid_mm:
        text = f"{item.id} {_at(at)} is off the grid of {metres(question.grid_mm)}"
        yield Broken("grid", (item.id,), text)


def _come_in(question: Question, plan: Plan) -> Iterator[Broken]:
    """Machines that are still outside pass their door."""
    for item in question.items:
        if item.id in plan.placements and not item.there:
            way = passage(item, question.room)
            if way is not None and not way.passes:
                assert item.move_in is not None
                yield Broken("move_in", (item.id, item.move_in.door), way.text)


def _at(at: Placement) -> str:
    return f"at {metres(at.x_mm)}, {metres(at.y_mm)} turned {at.turned_deg}°"
