"""A smallest set of things that can't stand together: one after the other is taken away as long as it stays impossible.

Less to place is never harder: whatever is taken away frees its floor and asks for nothing any more. So what is left
when nothing more can go is a smallest set; where a proof did not come to its end in time the thing stays in it.

First by the model of boxes and zones and of the floor that people and the trolley need somewhere: CP-SAT says in a
moment of most sets that they can't be. Then every thing that is left is taken away once more, with walks: a plan must
be found for the rest, or a proof. Plans that were met on the way, of all things but a few, answer many of these
questions at once.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Item, Placement, Question
from flatstock.starting.room.solve.clash import sentence
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Learnt
from flatstock.starting.room.solve.dives import what_passes
from flatstock.starting.room.solve.first_looks import Refusal
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.parts import floor_mm2
from flatstock.starting.room.solve.race import Outcome, race
from flatstock.starting.room.solve.room_to_walk import room_to_walk
from flatstock.starting.room.solve.search import Found
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks
from flatstock.starting.room.variants import without

__all__ = ["Conflict", "KnownPlans", "boxes_lie", "smallest_conflict"]

A_QUESTION_S = 1.5  # [s] for one question whether some things can stand together, or a third of what is left
BOXES_S = 1.0  # [s] to see whether boxes and zones alone refuse it


class KnownPlans:
    """Plans of parts of a question that the judge passes, each by what stands in it."""

    def __init__(self, question: Question, parts: Iterable[Found] = ()) -> None:
        self._question = question
        self._must = {item.id for item in question.items if not item.optional}
        self._passed: dict[frozenset[str], Mapping[str, Placement]] = {}
        for part in sorted(parts, key=lambda found: found.order):
            self.add(part.where)

    def add(self, where: Mapping[str, Placement]) -> None:
        """Take a plan in, where it tells something new and passes."""
        names = frozenset(where)
        if any(names <= known for known in self._passed):
            return
        rest = without(self._question, [item.id for item in self._question.items if item.id not in names])
        if judge(rest, Plan(placements=where)).passes:
            self._passed[names] = where

    def stand(self, names: Collection[str]) -> bool:
        """True where these things are known to stand together: a plan without the rest of one that passes."""
        return any(set(names) <= known for known in self._passed)

    def lacking(self) -> list[tuple[tuple[str, ...], Mapping[str, Placement]]]:
        """What each plan lacks of what must stand, in the question's order, and the plan; fewest first."""
        found: list[tuple[tuple[str, ...], Mapping[str, Placement]]] = []
        for names, where in self._passed.items():
            lacks = tuple(item.id for item in self._question.items if item.id in self._must - names)
            if lacks and not any(set(other) < set(lacks) for other, _ in found):
                found.append((lacks, where))
        return sorted(found, key=lambda one: len(one[0]))


@dataclass(frozen=True, slots=True)
class Conflict:
    """What can't stand together."""

    refusal: Refusal
    undecided: tuple[str, ...]  #: things of it without which nobody knows yet whether the rest can stand

    @property
    def smallest(self) -> bool:
        """True where it is proven that the rest can stand as soon as any of it goes."""
        return not self.undecided


def smallest_conflict(
    question: Question, known: KnownPlans, *, until: float, learnt: Learnt | None = None
) -> Conflict:
    """The set and its sentence, for a question that is proven impossible; `learnt` on the way there."""
    learnt = Learnt() if learnt is None else learnt
    part = without(question, [item.id for item in question.items if item.optional])
    drafts: dict[frozenset[str], Mapping[str, Placement]] = {}

    def stand(fewer: Question) -> bool | None:
        spots = open_spots(fewer)
        if not _each_has_a_place(fewer, spots):
            return False
        master = Master(fewer, spots)
        room_to_walk(master)
        for cut in learnt.since(0, fewer)[1]:
            master.cut(cut.boxes, cut.walk)
        said = solve(master.model, seconds=_share(until), lean=True)
        if said.status == "impossible":
            return False
        if said.values is not None:
            drafts[frozenset(fewer.by_id)] = where = master.where(said)
            known.add(where)
        return True if known.stand(fewer.by_id) else None

    part = _shrunk(part, known, stand, until)
    undecided: dict[str, None] = {}
    for item in sorted(part.items, key=floor_mm2, reverse=True):
        fewer = without(part, [item.id])
        if not fewer.items or known.stand(fewer.by_id):
            continue
        if time.monotonic() >= until:
            undecided[item.id] = None
            continue
        out = _raced(fewer, drafts.get(frozenset(fewer.by_id)), time.monotonic() + _share(until), learnt)
        if out.best is not None:
            known.add(out.best.where)
        elif out.impossible:
            part = fewer
        else:
            undecided[item.id] = None
    names = [item.id for item in part.items]
    walking = boxes_lie(part, max(until, time.monotonic() + BOXES_S)) is not False
    open_ones = tuple(name for name in undecided if not known.stand(set(names) - {name}))
    return Conflict(Refusal(tuple(names), sentence(question, names, walking=walking)), open_ones)


def _raced(fewer: Question, draft: Mapping[str, Placement] | None, until: float, learnt: Learnt) -> Outcome:
    """A race for a plan of these, from as much of a draft as people get out of."""
    start = None if draft is None else what_passes(fewer, Walks(fewer), draft)
    return race(fewer, open_spots(fewer), until=until, first=True, tight=True, start=start, learnt=learnt)


def _each_has_a_place(question: Question, spots: Spots) -> bool:
    return all(
        any(spots.alone(item.id, shape.turn).any() for shape in spots.shapes[item.id])
        for item in question.items
    )


def _shrunk(
    part: Question, known: KnownPlans, stand: Callable[[Question], bool | None], until: float
) -> Question:
    """The question without whatever may go as long as the rest can't stand: the smallest half, then ones."""
    order: Sequence[Item] = sorted(part.items, key=floor_mm2)
    chunk = len(order) // 2
    while order and time.monotonic() < until:
        some, rest = order[: max(1, chunk)], order[max(1, chunk) :]
        fewer = without(part, [item.id for item in some])
        gone = bool(fewer.items) and not known.stand(fewer.by_id) and stand(fewer) is False
        if gone:
            part = fewer
        order = rest if gone or chunk <= 1 else order
        chunk //= 2
    return part


def _share(until: float) -> float:
    """How long one question may take: most are answered long before, on a busy machine a few are not [s]."""
    left = until - time.monotonic()
    return min(left, max(A_QUESTION_S, left / 3))


def boxes_lie(question: Question, until: float) -> bool | None:
    """Whether boxes and zones alone lie beside each other, whoever walks where."""
    spots = Spots(question)  # places that nobody gets out of count too
    if not _each_has_a_place(question, spots):
        return False
    said = solve(Master(question, spots).model, seconds=_share(until)).status
    return {"impossible": False, "unknown": None}.get(said, True)
