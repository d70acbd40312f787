"""A conflict in a sentence with metres: what takes how much floor, and what lies beside what."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import permutations

from flatstock.starting.room.question import Question
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.words import metres

__all__ = ["sentence"]


def sentence(question: Question, names: Sequence[str], *, walking: bool) -> str:
    """A conflict with its metres; `walking`: the boxes and zones alone would fit."""
    bounds = question.room.bounds
    taken = [_taken(question, name) for name in names]
    every = _all_of(taken)
    room = f"a room of {metres(bounds.length_mm)} x {metres(bounds.width_mm)}"
    if walking:
        rules = question.rules
        ways = f"everybody has a way out {metres(rules.escape_width_mm)} wide"
        if rules.escape_longest_mm is not None:
            ways += f" of at most {metres(rules.escape_longest_mm)}"
        if rules.trolley is not None and any(z.trolley for n in names for z in question.by_id[n].zones):
            box = sorted(
                s + 2 * rules.trolley.clearance_mm for s in (rules.trolley.length_mm, rules.trolley.width_mm)
            )
            ways += f" and the trolley, {metres(box[1])} x {metres(box[0])} with its clearance, its own"
        ways = ", ".join([ways, *_kept_apart(question, names)])
        return f"{every} can't stand in {room} so that {ways}"
    text = f"{every} can't stand together in {room}" if len(taken) > 1 else f"{every} can't stand in {room}"
    if apart := _kept_apart(question, names):
        return f"{text} so that {_all_of(apart)}"
    if len(names) == 2 and (beside := _beside(question, names)):
        text += f": {beside}"
    return text


def _all_of(parts: Sequence[str]) -> str:
    return f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]


def _kept_apart(question: Question, names: Sequence[str]) -> list[str]:
    """What is asked of distances between these things, one clause each."""
    items = [question.by_id[name] for name in names]
    said = [
        f"{cold.id}, which burns, is {metres(hot.hot_gap_mm)} off {hot.id}"
        for hot, cold in permutations(items, 2)
        if hot.hot_gap_mm and cold.combustible
    ]
    said += [
        f"{pair.a} and {pair.b} are {metres(pair.shortest_mm)} apart"
        for pair in question.apart
        if _both(pair.a, pair.b, names)
    ]
    said += [
        f"from {pair.a} to {pair.b} it is at most {metres(pair.longest_mm)}"
        + (" to walk" if pair.how == "walk" else "")
        for pair in question.near
        if _both(pair.a, pair.b, names)
    ]
    said += [
        f"{line.a} and {line.b} stand in line, {metres(line.gap_min_mm)} to {metres(line.gap_max_mm)} between them"
        for line in question.in_line
        if _both(line.a, line.b, names)
    ]
    return said


def _both(a: str, b: str, names: Collection[str]) -> bool:
    """Whether a relation is between two of these things, named with a zone or without."""
    return all(name in names or name.rpartition(".")[0] in names for name in (a, b))


def _taken(question: Question, name: str) -> str:
    item = question.by_id[name]
    rects = [Rect(0, 0, item.length_mm, item.width_mm), *(item.zone_offset(zone, 0) for zone in item.zones)]
    length = max(r.right_mm for r in rects) - min(r.x_mm for r in rects)
    width = max(r.top_mm for r in rects) - min(r.y_mm for r in rects)
    return f"{name} ({metres(length)} x {metres(width)} with its zones)"


def _beside(question: Question, names: Collection[str]) -> str:
    """What two things take next to each other along each wall, at the least, where that is more than there is."""
    spots = Spots(question)
    one, other = (spots.shapes[name] for name in names)
    least = [0, 0]
    for axis in (0, 1):
        least[axis] = min(_least_along(axis, a.box, a.reach, b.box, b.reach) for a in one for b in other)
    b = question.room.bounds
    if least[0] <= b.length_mm or least[1] <= b.width_mm:
        return ""  # it is not their sizes alone
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
