"""A smallest set of things that can't stand together: one after the other is taken away as long as it stays impossible.

Less to place is never harder: whatever is taken away frees its floor and asks for nothing any more. So what is left
when nothing more can go is a smallest set; where a proof did not come to its end in time the thing stays in it.

First boxes and zones alone: CP-SAT says in a moment of most sets that they can't lie beside each other, and a set that
can't needs no walks to be refused. Then every thing that is left is taken away once more, with walks: a plan must be
found for the rest. Plans that were met on the way, of all things but a few, answer many of these questions at once.
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
from flatstock.starting.room.solve.first_looks import Refusal
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.race import race
from flatstock.starting.room.solve.search import Found
from flatstock.starting.room.variants import without

__all__ = ["Conflict", "KnownPlans", "boxes_lie", "floor_mm2", "smallest_conflict"]

A_QUESTION_S = 1.5  # [s] for one question whether some things can stand together, or a third of what is left
BOXES_SHARE = 0.6  # of the time, for boxes and zones alone


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
    smallest: bool  #: proven that it can as soon as any of it goes


def smallest_conflict(question: Question, known: KnownPlans, *, walking: bool, until: float) -> Conflict:
    """The set and its sentence, for a question that is proven impossible; with `walking` not by boxes alone."""
    began = time.monotonic()
    part = without(question, [item.id for item in question.items if item.optional])
    if not walking:
        boxes_until = began + BOXES_SHARE * (until - began)
        part = _shrunk(part, known, lambda fewer: boxes_lie(fewer, boxes_until), boxes_until)
    smallest = True
    spots = open_spots(part)
    by_walks = walking or any(next(spots.nobody_gets_out(item.id), None) for item in part.items)

    def stand(fewer: Question) -> bool | None:
        nonlocal by_walks
        end = time.monotonic() + _share(until)
        out = race(fewer, open_spots(fewer), until=end, first=True)
        if out.best is not None:
            known.add(out.best.where)
        if out.impossible:
            by_walks = by_walks or out.walking
            return False
        return True if out.best is not None else None

    if walking:
        part = _shrunk(part, known, stand, until)
    for item in sorted(part.items, key=floor_mm2):
        fewer = without(part, [item.id])
        if not fewer.items or known.stand(fewer.by_id):
            continue
        said = stand(fewer) if time.monotonic() < until else None
        if said is False:
            part = fewer
        elif said is None:
            smallest = False
    names = [item.id for item in part.items]
    return Conflict(Refusal(tuple(names), sentence(question, names, walking=by_walks)), smallest)


def floor_mm2(item: Item) -> int:
    """Floor under an item and its zones together [mm2]."""
    return item.length_mm * item.width_mm + sum(
        rect.area_mm2 for rect in (item.zone_offset(zone, 0) for zone in item.zones)
    )


def _shrunk(
    part: Question, known: KnownPlans, stand: Callable[[Question], bool | None], until: float
) -> Question:
    """The question without whatever may go as long as the rest can't stand: halves first, then quarters, then ones."""
    order: Sequence[Item] = sorted(part.items, key=floor_mm2)
    chunk = max(1, len(order) // 2)
    while True:
        kept: list[Item] = []
        for first in range(0, len(order), chunk):
            some = order[first : first + chunk]
            fewer = without(part, [item.id for item in some])
            open_ = time.monotonic() < until and fewer.items and not known.stand(fewer.by_id)
            if open_ and stand(fewer) is False:
                part = fewer
            else:
                kept.extend(some)
        if chunk == 1:
            return part
        order, chunk = kept, max(1, min(chunk, len(kept)) // 2)


def _share(until: float) -> float:
    """How long one question may take: most are answered long before, on a busy machine a few are not [s]."""
    left = until - time.monotonic()
    return min(left, max(A_QUESTION_S, left / 3))


def boxes_lie(question: Question, until: float) -> bool | None:
    """Whether boxes and zones alone lie beside each other, whoever walks where."""
    spots = open_spots(question)
    for item in question.items:
        if not any(spots.alone(item.id, shape.turn).any() for shape in spots.shapes[item.id]):
            return False
    said = solve(Master(question, spots).model, seconds=_share(until)).status
    return {"impossible": False, "unknown": None}.get(said, True)
