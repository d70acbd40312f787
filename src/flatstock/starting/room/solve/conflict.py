"""A smallest set of things that can't stand together: one after the other is taken away as long as it stays impossible.

Less to place is never harder: whatever is taken away frees its floor and asks for nothing any more. So what is left
when nothing more can go is a smallest set; where a proof did not come to its end in time the thing stays in it.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from flatstock.starting.room.question import Item, Question
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.first_looks import Refusal
from flatstock.starting.room.solve.race import race
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.variants import without
from flatstock.starting.room.words import metres

__all__ = ["Verdict", "can_be", "floor_mm2", "smallest_conflict"]

A_QUESTION_S = 1.5  # [s] for one question whether some things can stand together


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether things can stand together."""

    said: bool | None  #: None: not known in the time
    walking: bool = False  #: boxes and zones alone would fit


def can_be(question: Question, until: float) -> Verdict:
    """Look for a plan and for a proof that there is none, side by side."""
    out = race(question, Spots(question), until=min(until, time.monotonic() + A_QUESTION_S), first=True)
    return Verdict(False if out.impossible else True if out.best is not None else None, walking=out.walking)


def smallest_conflict(question: Question, *, walking: bool, until: float) -> tuple[Refusal, bool]:
    """The set and its sentence, for a question that is proven impossible; and whether nothing in it could go."""
    names = [item.id for item in question.items if not item.optional]
    part = without(question, [item.id for item in question.items if item.optional])
    smallest = True
    order = sorted(part.items, key=floor_mm2)
    chunk = len(order) // 2
    while chunk > 1:  # half of them at a time as long as that goes
        drop = {item.id for item in order[:chunk]}
        verdict = can_be(without(part, drop), until)
        if verdict.said is False:
            walking = verdict.walking
            part, order = without(part, drop), order[chunk:]
        chunk = min(chunk, len(order)) // 2
    for item in list(order):
        if len(part.items) == 1:
            break
        if time.monotonic() >= until:
            smallest = False
            break
        verdict = can_be(without(part, [item.id]), until)
        if verdict.said is False:
            walking = verdict.walking
            part = without(part, [item.id])
        elif verdict.said is None:
            smallest = False
    names = [item.id for item in part.items]
    return Refusal(tuple(names), _sentence(question, names, walking=walking)), smallest


def floor_mm2(item: Item) -> int:
    """Floor under an item and its zones together [mm2]."""
    return item.length_mm * item.width_mm + sum(
        rect.area_mm2 for rect in (item.zone_offset(zone, 0) for zone in item.zones)
    )


def _sentence(question: Question, names: Sequence[str], *, walking: bool) -> str:
    """The conflict with its metres."""
    bounds = question.room.bounds
    taken = [_taken(question, name) for name in names]
    every = f"{', '.join(taken[:-1])} and {taken[-1]}" if len(taken) > 1 else taken[0]
    room = f"a room of {metres(bounds.length_mm)} x {metres(bounds.width_mm)}"
    if walking:
        rules = question.rules
        ways = f"everybody has a way out {metres(rules.escape_width_mm)} wide"
        if rules.trolley is not None and any(z.trolley for n in names for z in question.by_id[n].zones):
            box = sorted(
                s + 2 * rules.trolley.clearance_mm for s in (rules.trolley.length_mm, rules.trolley.width_mm)
            )
            ways += f" and the trolley, {metres(box[1])} x {metres(box[0])} with its clearance, its own"
        return f"{every} can't stand in {room} so that {ways}"
    text = f"{every} can't stand together in {room}" if len(taken) > 1 else f"{every} can't stand in {room}"
    if len(names) == 2 and (beside := _beside(question, names)):
        text += f": {beside}"
    return text


def _taken(question: Question, name: str) -> str:
    item = question.by_id[name]
    rects = [Rect(0, 0, item.length_mm, item.width_mm), *(item.zone_offset(zone, 0) for zone in item.zones)]
    length = max(r.right_mm for r in rects) - min(r.x_mm for r in rects)
    width = max(r.top_mm for r in rects) - min(r.y_mm for r in rects)
    return f"{name} ({metres(length)} x {metres(width)} with its zones)"


def _beside(question: Question, names: Collection[str]) -> str:
    """What two things take next to each other along each wall, at the least."""
    spots = Spots(question)
    one, other = (spots.shapes[name] for name in names)
    least = [0, 0]
    for axis in (0, 1):
        least[axis] = min(_least_along(axis, a.box, a.reach, b.box, b.reach) for a in one for b in other)
    b = question.room.bounds
    return (
        f"next to each other they take at least {metres(least[0])} of the {metres(b.length_mm)} along x, or"
        f" {metres(least[1])} of the {metres(b.width_mm)} along y"
    )


def _least_along(axis: int, box_a: Rect, reach_a: Rect, box_b: Rect, reach_b: Rect) -> int:
    """The least stretch that holds both with neither box in the other's reach, one after the other along an axis."""

    def span(rect: Rect) -> tuple[int, int]:
        return (rect.x_mm, rect.right_mm) if axis == 0 else (rect.y_mm, rect.top_mm)

    found = []
    for (box, reach), (other, far) in (
        ((box_a, reach_a), (box_b, reach_b)),
        ((box_b, reach_b), (box_a, reach_a)),
    ):
        # the second one begins where neither box lies in what the other one reaches on that side
        shift = max(span(reach)[1] - span(other)[0], span(box)[1] - span(far)[0])
        found.append(max(span(reach)[1], span(far)[1] + shift) - min(span(reach)[0], span(far)[0] + shift))
    return min(found)
