"""Where the loaded trolley may be and turn, and which zones it reaches from each other.

States: middle, and lying (its length along x) or standing. A state is free where the trolley's box with its
clearance is; it may turn from one to the other where a square with the side of its turning disc is free (the
disc's square: safe side, exact on rectangles). `moves: along` slides along its length alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise
from math import isqrt

import numpy as np

from flatstock.starting.room.lines import Flags, Free, Ints, Lines, free_for, lines_for, straightened
from flatstock.starting.room.question import Placement, Question, Trolley
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.ways import solids_of

__all__ = ["Reach", "Route", "State", "reach", "route", "shortest", "turning_side"]

State = tuple[int, int, int]  # crossing, and 0 lying or 1 standing
_A_TURN = 2000  # counts as so much way [half mm]
_NOWHERE = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True)
class Reach:
    """What the trolley reaches."""

    nowhere: tuple[str, ...]  #: zones in which it can be nowhere
    cut_off: tuple[str, ...]  #: zones that it can't reach from most of the others; empty: it reaches all


@dataclass(frozen=True, slots=True)
class Route:
    """A way of the trolley: the corners of its middle's way, and where it turns [mm]."""

    path_mm: tuple[tuple[float, float], ...]
    turns_mm: tuple[tuple[float, float], ...]


def turning_side(trolley: Trolley) -> int:
    """The side of the square that a trolley turns in, rounded up: diagonal of the load, twice the clearance [mm].

    A square of whole millimetres that is free round a point is free exactly where one of the diagonal's true
    length is, since everything solid lies on whole millimetres.

    >>> turning_side(Trolley(length_mm=1250, width_mm=850, clearance_mm=150))
    1812
    """
    square = trolley.length_mm**2 + trolley.width_mm**2
    return isqrt(square - 1) + 1 + 2 * trolley.clearance_mm


def reach(question: Question, placements: Mapping[str, Placement]) -> Reach:
    """Which trolley zones the trolley reaches; nothing is asked where the room has no trolley."""
    trolley, zones = question.rules.trolley, _zones(question, placements)
    if trolley is None or not zones:
        return Reach((), ())
    lines, lying, standing, turns = _maps(question, placements, trolley)
    parts = _parts(lying, standing, turns, along=trolley.moves == "along")
    found = {}
    for name, r in zones.items():
        here = lines.within((2 * r.x_mm, 2 * r.y_mm), (2 * r.right_mm, 2 * r.top_mm))
        found[name] = {int(n) for part in parts for n in np.unique(part[here])} - {_NOWHERE}
    nowhere = tuple(name for name, where in found.items() if not where)
    if nowhere:
        return Reach(nowhere, ())
    parts_seen = {n for where in found.values() for n in where}
    # most zones; of parts with equally many the one that holds the zones written first
    best = max(
        parts_seen, key=lambda n: (sum(n in w for w in found.values()), [n in w for w in found.values()])
    )
    return Reach((), tuple(name for name, where in found.items() if best not in where))


def route(question: Question, placements: Mapping[str, Placement], start: str, end: str) -> Route | None:
    """The shortest way of the trolley from one of its zones to another; None where there is none.

    Each turn counts as a metre of way, so that it turns where it must and not where it may.
    """
    trolley, zones = question.rules.trolley, _zones(question, placements)
    if trolley is None or start not in zones or end not in zones:
        return None
    lines, lying, standing, turns = _maps(question, placements, trolley)
    starts = [(i, j, way) for i, j in _inside(lines, zones[start]) for way in (0, 1)]
    goals = {(i, j, way) for i, j in _inside(lines, zones[end]) for way in (0, 1)}
    return shortest(lines, (lying, standing), turns, starts, goals, along=trolley.moves == "along")


def shortest(
    lines: Lines,
    maps: tuple[Free, Free],
    turns: Flags,
    starts: Iterable[State],
    goals: Set[State],
    *,
    along: bool,
) -> Route | None:
    """The shortest way from any of `starts` that is free to any of `goals`; a turn counts as a metre."""
    far: dict[State, int] = {state: 0 for state in starts if maps[state[2]].node[state[0], state[1]]}
    waiting = sorted((0, state) for state in far)
    back: dict[State, State] = {}
    while waiting:
        walked, state = heappop(waiting)
        if walked > far[state]:
            continue
        if state in goals:
            return _route(lines, back, state)
        for step, other in _steps(lines, maps, turns, state, along=along):
            if walked + step < far.get(other, walked + step + 1):
                far[other], back[other] = walked + step, state
                heappush(waiting, (walked + step, other))
    return None


def _zones(question: Question, placements: Mapping[str, Placement]) -> dict[str, Rect]:
    return {
        f"{item.id}.{zone.id}": item.zone_as_placed(zone, placements[item.id])
        for item in question.items
        if item.id in placements
        for zone in item.zones
        if zone.trolley
    }


def _maps(
    question: Question, placements: Mapping[str, Placement], trolley: Trolley
) -> tuple[Lines, Free, Free, Flags]:
    """The lines, where the trolley may lie, where it may stand, where it may turn."""
    long, wide = (side + 2 * trolley.clearance_mm for side in (trolley.length_mm, trolley.width_mm))
    turning, solids = turning_side(trolley), solids_of(question, placements)
    zones = _zones(question, placements).values()
    corners = [
        p for r in zones for p in ((2 * r.x_mm, 2 * r.y_mm), (2 * r.right_mm, 2 * r.top_mm), r.centre_twice)
    ]
    lines = lines_for(solids, [(long, wide), (wide, long), (turning, turning)], corners, question.room.bounds)
    lying, standing = free_for(lines, solids, long, wide), free_for(lines, solids, wide, long)
    return lines, lying, standing, free_for(lines, solids, turning, turning).node


def _inside(lines: Lines, zone: Rect) -> set[tuple[int, int]]:
    """The crossings in a zone: all of them, since the trolley's middle may be anywhere in it."""
    x, y = lines.within((2 * zone.x_mm, 2 * zone.y_mm), (2 * zone.right_mm, 2 * zone.top_mm))
    return {(i, j) for i in range(x.start, x.stop) for j in range(y.start, y.stop)}


def _steps(
    lines: Lines, maps: tuple[Free, Free], turns: Flags, state: State, *, along: bool
) -> Iterator[tuple[int, State]]:
    i, j, way = state
    free = maps[way]
    if not (along and way == 1):
        if i > 0 and free.along_x[i - 1, j]:
            yield int(lines.xs[i] - lines.xs[i - 1]), (i - 1, j, way)
        if i < len(lines.xs) - 1 and free.along_x[i, j]:
            yield int(lines.xs[i + 1] - lines.xs[i]), (i + 1, j, way)
    if not (along and way == 0):
        if j > 0 and free.along_y[i, j - 1]:
            yield int(lines.ys[j] - lines.ys[j - 1]), (i, j - 1, way)
        if j < len(lines.ys) - 1 and free.along_y[i, j]:
            yield int(lines.ys[j + 1] - lines.ys[j]), (i, j + 1, way)
    if turns[i, j]:
        yield _A_TURN, (i, j, 1 - way)


def _route(lines: Lines, back: Mapping[State, State], last: State) -> Route:
    states = [last]
    while states[-1] in back:
        states.append(back[states[-1]])
    states.reverse()
    points = [(int(lines.xs[i]) / 2, int(lines.ys[j]) / 2) for i, j, _ in states]
    turned = [point for point, (a, b) in zip(points[1:], pairwise(states), strict=True) if a[2] != b[2]]
    return Route(tuple(straightened(points)), tuple(turned))


def _parts(lying: Free, standing: Free, turns: Flags, *, along: bool) -> tuple[Ints, Ints]:
    """For each state the number of the part of the room that it belongs to; states of one part reach each other."""
    numbers = np.arange(2 * lying.node.size, dtype=np.int64).reshape(2, *lying.node.shape)
    lie = np.where(lying.node, numbers[0], _NOWHERE)
    stand = np.where(standing.node, numbers[1], _NOWHERE)
    while True:
        before = lie.copy(), stand.copy()
        _spread(lie, lying.along_x, axis=0)
        _spread(stand, standing.along_y, axis=1)
        if not along:
            _spread(lie, lying.along_y, axis=1)
            _spread(stand, standing.along_x, axis=0)
        both = np.minimum(lie, stand)
        np.copyto(lie, both, where=turns)
        np.copyto(stand, both, where=turns)
        if np.array_equal(before[0], lie) and np.array_equal(before[1], stand):
            return lie, stand


def _spread(part: Ints, is_open: Flags, *, axis: int) -> None:
    """Carry the least number to and fro along open stretches of one axis, in place."""
    view, gate = (part, is_open) if axis == 0 else (part.T, is_open.T)
    count = view.shape[0]
    for i in range(1, count):
        np.minimum(view[i], view[i - 1], out=view[i], where=gate[i - 1])
    for i in range(count - 2, -1, -1):
        np.minimum(view[i], view[i + 1], out=view[i], where=gate[i])
