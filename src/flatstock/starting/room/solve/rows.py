"""Things in line set down together: two machines that face each other and their table, wherever all of it fits.

Set down one after the other, the first of a line stands where the others find no place, again and again. Here each
gap, with the table in it, makes one rigid row, so that all its places are known at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from flatstock.starting.room.question import InLine, Placement, Question, facing
from flatstock.starting.room.rectangles import gap_over, gap_reaches, overlap
from flatstock.starting.room.solve.shapes import Shape, clashes, moved
from flatstock.starting.room.solve.spots import Flags, Spots

__all__ = ["Row", "names_of", "places", "rows_of"]

Row = Mapping[str, Placement]  #: things as they stand to each other, counted from the first one's corner
Ints = NDArray[np.int64]


def rows_of(question: Question, spots: Spots) -> list[list[Row]]:
    """For each line of which nothing stands yet, and that shares nothing with another one, the ways it may stand."""
    found = []
    for line in question.in_line:
        names = names_of(line)
        shared = any(set(names) & set(names_of(other)) for other in question.in_line if other is not line)
        if shared or any(question.by_id[name].placed is not None for name in names):
            continue
        rows = [row for row in _standing(question, spots, line) if _clear(spots, row)]
        if rows:
            found.append(rows)
    return found


def names_of(line: InLine) -> list[str]:
    """What stands in a line."""
    return [line.a, line.b, *([line.via] if line.via else [])]


def places(row: Row, free: Mapping[tuple[str, int], Flags], grid_mm: int) -> tuple[Ints, Ints]:
    """Where on the grid the first thing's corner may lie; `free`: where each thing may stand in each turn."""
    flags: Flags | None = None
    for name, at in row.items():
        own, i, j = free[name, at.turned_deg], at.x_mm // grid_mm, at.y_mm // grid_mm
        if flags is None:
            flags = own.copy()
            continue
        nx, ny = own.shape
        left, right, low, high = max(0, -i), min(nx, nx - i), max(0, -j), min(ny, ny - j)
        shifted = np.zeros_like(own)
        if left < right and low < high:
            shifted[left:right, low:high] = own[left + i : right + i, low + j : high + j]
        flags &= shifted
    assert flags is not None
    xs, ys = np.nonzero(flags)
    return xs, ys


def _standing(question: Question, spots: Spots, line: InLine) -> Iterator[Row]:
    """The ways in which a line may stand, the middles as near to one line as the grid lets them."""
    for a in spots.shapes[line.a]:
        out = facing(line.side_a, a.turn)
        along = 0 if out[0] else 1
        for b in spots.shapes[line.b]:
            if facing(line.side_b, b.turn) != (-out[0], -out[1]):
                continue
            across = _beside(a, b, 1 - along, line.offset_max_mm, question.grid_mm)
            if across is None:
                continue
            for ahead in _ahead(a, b, out, line, question.grid_mm):
                at = (ahead, across) if along == 0 else (across, ahead)
                row = {
                    line.a: Placement(x_mm=0, y_mm=0, turned_deg=a.turn),
                    line.b: Placement(x_mm=at[0], y_mm=at[1], turned_deg=b.turn),
                }
                yield from _with_table(question, spots, line, row, along) if line.via else [row]


def _ahead(a: Shape, b: Shape, out: tuple[int, int], line: InLine, grid_mm: int) -> list[int]:
    """Where the second machine's corner may lie along the line, from the first one's [mm]."""
    long_a, long_b = (side[0 if out[0] else 1] for side in (_sides(a), _sides(b)))
    if sum(out) > 0:
        low, high = long_a + line.gap_min_mm, long_a + line.gap_max_mm
    else:
        low, high = -line.gap_max_mm - long_b, -line.gap_min_mm - long_b
    return list(range(-(-low // grid_mm) * grid_mm, high + 1, grid_mm))


def _beside(a: Shape, b: Shape, axis: int, most_mm: int, grid_mm: int) -> int | None:
    """Where across the line a corner lies so that the middles miss each other least; None: by more than `most_mm`."""
    miss = _sides(a)[axis] - _sides(b)[axis]  # twice where it would lie
    at = round(miss / (2 * grid_mm)) * grid_mm
    return at if abs(2 * at - miss) <= 2 * most_mm else None


def _with_table(question: Question, spots: Spots, line: InLine, row: Row, along: int) -> Iterator[Row]:
    """A row with its table at either end of the gap, and in its middle."""
    assert line.via is not None
    g = question.grid_mm
    a, b = (spots.shape[name, row[name].turned_deg] for name in (line.a, line.b))
    far = (row[line.b].x_mm, row[line.b].y_mm)[along]
    start, end = (_sides(a)[along], far) if far > 0 else (far + _sides(b)[along], 0)
    for table in spots.shapes[line.via]:
        across = _beside(a, table, 1 - along, max(line.offset_max_mm, g), g)
        last = (end - _sides(table)[along]) // g * g
        first = -(-start // g) * g
        if across is None or last < first:
            continue
        for at in dict.fromkeys((first, (first + last) // (2 * g) * g, last)):
            x, y = (at, across) if along == 0 else (across, at)
            yield {**row, line.via: Placement(x_mm=x, y_mm=y, turned_deg=table.turn)}


def _clear(spots: Spots, row: Row) -> bool:
    """True where none of a row stands in another one's way."""
    for (one, at), (other, far) in combinations(row.items(), 2):
        a, b = spots.shape[one, at.turned_deg], spots.shape[other, far.turned_deg]
        for own, theirs in clashes(a, b):
            if overlap(moved(own, at.x_mm, at.y_mm), moved(theirs, far.x_mm, far.y_mm)):
                return False
        owed, boxes = (
            spots.owed(one, other),
            (moved(a.box, at.x_mm, at.y_mm), moved(b.box, far.x_mm, far.y_mm)),
        )
        if not gap_reaches(*boxes, owed.apart) or (owed.near is not None and gap_over(*boxes, owed.near)):
            return False
    return True


def _sides(shape: Shape) -> tuple[int, int]:
    return shape.box.length_mm, shape.box.width_mm
