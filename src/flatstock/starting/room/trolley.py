"""Where the loaded trolley may be and turn, and which zones it reaches from each other.

States: middle, and lying (its length along x) or standing. A state is free where the trolley's box with its
clearance is; it may turn from one to the other where a square with the side of its turning disc is free (the
disc's square: safe side, exact on rectangles). `moves: along` slides along its length alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isqrt

import numpy as np

from flatstock.starting.room.lines import Flags, Free, Ints, free_for, lines_for
from flatstock.starting.room.question import Placement, Question, Trolley
from flatstock.starting.room.ways import solids_of

__all__ = ["Reach", "reach", "turning_side"]

_NOWHERE = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True)
class Reach:
    """What the trolley reaches."""

    nowhere: tuple[str, ...]  #: zones in which it can be nowhere
    cut_off: tuple[str, ...]  #: zones that it can't reach from most of the others; empty: it reaches all


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
    trolley = question.rules.trolley
    zones = {
        f"{item.id}.{zone.id}": item.zone_as_placed(zone, placements[item.id])
        for item in question.items
        if item.id in placements
        for zone in item.zones
        if zone.trolley
    }
    if trolley is None or not zones:
        return Reach((), ())
    long, wide = (side + 2 * trolley.clearance_mm for side in (trolley.length_mm, trolley.width_mm))
    turning, solids = turning_side(trolley), solids_of(question, placements)
    corners = [
        point for r in zones.values() for point in ((2 * r.x_mm, 2 * r.y_mm), (2 * r.right_mm, 2 * r.top_mm))
    ]
    lines = lines_for(solids, [(long, wide), (wide, long), (turning, turning)], corners, question.room.bounds)
    lying, standing = free_for(lines, solids, long, wide), free_for(lines, solids, wide, long)
    turns = free_for(lines, solids, turning, turning).node
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
