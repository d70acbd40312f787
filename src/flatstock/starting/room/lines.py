"""Where the middle of a box may be that slides through a room, and how far it is: exact on a few lines.

A box of a given length and width meets no solid rectangle as long as its middle stays out of that rectangle
grown by half the box on each side (the open one: touching is allowed, so a gap equal to the width passes). In a
room of rectangles a shortest L1 walk of the middle can be shifted, without growing longer, onto the lines through
the edges of the grown rectangles and through its ends; so distances over the crossings of these lines are exact.
Common knowledge of rectilinear shortest paths; tests hold it against Dijkstra over a fine grid.

All coordinates here are doubled millimetres: whole numbers even for the middle of an odd length.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.starting.room.rectangles import Rect

__all__ = [
    "FAR",
    "Flags",
    "Free",
    "Ints",
    "Lines",
    "around",
    "distances",
    "free_for",
    "lines_for",
    "path_back",
]

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
FAR = 1 << 40  #: farther than any walk [half mm]


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines, in order: x of the upright ones, y of the level ones [half mm]."""

    xs: Ints
    ys: Ints

    def node(self, point: tuple[int, int]) -> tuple[int, int]:
        """The indices of a crossing. `point` must be one."""
        return int(np.searchsorted(self.xs, point[0])), int(np.searchsorted(self.ys, point[1]))

    def within(self, low: tuple[int, int], high: tuple[int, int]) -> tuple[slice, slice]:
        """The crossings in a closed rectangle between two corners."""
        x = slice(int(np.searchsorted(self.xs, low[0])), int(np.searchsorted(self.xs, high[0], "right")))
        y = slice(int(np.searchsorted(self.ys, low[1])), int(np.searchsorted(self.ys, high[1], "right")))
        return x, y


@dataclass(frozen=True, slots=True)
class Free:
    """Where the middle of a box may be, and between which neighbouring crossings it may slide."""

    node: Flags  #: (nx, ny)
    along_x: Flags  #: (nx - 1, ny): from a crossing to the next one on its right
    along_y: Flags  #: (nx, ny - 1): to the next one above


def around(bounds: Rect) -> list[Rect]:
    """Four solid slabs round the bounding box of a room."""
    x, y, length, width = bounds.x_mm, bounds.y_mm, bounds.length_mm, bounds.width_mm
    deep = length + width
    return [
        Rect(x - deep, y - deep, deep, width + 2 * deep),
        Rect(x + length, y - deep, deep, width + 2 * deep),
        Rect(x - deep, y - deep, length + 2 * deep, deep),
        Rect(x - deep, y + width, length + 2 * deep, deep),
    ]


def lines_for(
    solids: Sequence[Rect],
    boxes: Iterable[tuple[int, int]],
    points: Iterable[tuple[int, int]],
    bounds: Rect,
) -> Lines:
    """The lines for boxes (length, width) [mm] among `solids`, through `points` [half mm]."""
    marks = list(points)
    xs, ys = {x for x, _ in marks}, {y for _, y in marks}
    for length, width in set(boxes):
        for solid in solids:
            xs |= {2 * solid.x_mm - length, 2 * solid.right_mm + length}
            ys |= {2 * solid.y_mm - width, 2 * solid.top_mm + width}
    return Lines(
        np.array(sorted(x for x in xs if 2 * bounds.x_mm <= x <= 2 * bounds.right_mm), dtype=np.int64),
        np.array(sorted(y for y in ys if 2 * bounds.y_mm <= y <= 2 * bounds.top_mm), dtype=np.int64),
    )


def free_for(lines: Lines, solids: Iterable[Rect], length: int, width: int) -> Free:
    """Where the middle of a box `length` along x and `width` along y [mm] may be."""
    nx, ny = len(lines.xs), len(lines.ys)
    node = np.ones((nx, ny), dtype=np.bool_)
    along_x, along_y = np.ones((max(nx - 1, 0), ny), np.bool_), np.ones((nx, max(ny - 1, 0)), np.bool_)
    for solid in solids:
        x1, x2 = 2 * solid.x_mm - length, 2 * solid.right_mm + length
        y1, y2 = 2 * solid.y_mm - width, 2 * solid.top_mm + width
        left, right = (int(n) for n in np.searchsorted(lines.xs, [x1, x2]))
        low, high = (int(n) for n in np.searchsorted(lines.ys, [y1, y2]))
        after_x = left + (left < nx and lines.xs[left] == x1)  # crossings strictly inside begin here
        after_y = low + (low < ny and lines.ys[low] == y1)
        node[after_x:right, after_y:high] = False
        # a stretch that begins on or after the near edge and ends on or before the far one lies inside
        along_x[max(after_x - 1, 0) : right, after_y:high] = False
        along_y[after_x:right, max(after_y - 1, 0) : high] = False
    return Free(node, along_x, along_y)


def distances(lines: Lines, free: Free, starts: Ints) -> Ints:
    """Shortest walks to every crossing [half mm]; `FAR` where there is none.

    Parameters
    ----------
    starts
        (k, nx, ny): one layer a search, 0 where it begins and `FAR` elsewhere.

    Sweeps to and fro along both axes until nothing changes: as many rounds as the most crooked walk has turns.
    """
    reached = starts.copy()
    right = np.where(free.along_x, np.diff(lines.xs)[:, None], FAR)
    up = np.where(free.along_y, np.diff(lines.ys)[None, :], FAR)
    nx, ny = len(lines.xs), len(lines.ys)
    columns = [reached[:, i, :] for i in range(nx)]
    rows = [reached[:, :, j] for j in range(ny)]
    while True:
        before = reached.copy()
        for i in range(1, nx):
            np.minimum(columns[i], columns[i - 1] + right[i - 1], out=columns[i])
        for i in range(nx - 2, -1, -1):
            np.minimum(columns[i], columns[i + 1] + right[i], out=columns[i])
        for j in range(1, ny):
            np.minimum(rows[j], rows[j - 1] + up[:, j - 1], out=rows[j])
        for j in range(ny - 2, -1, -1):
            np.minimum(rows[j], rows[j + 1] + up[:, j], out=rows[j])
        if np.array_equal(before, reached):
            return reached


def path_back(lines: Lines, free: Free, reached: Ints, end: tuple[int, int]) -> list[tuple[int, int]]:
    """The corners of a shortest walk [half mm] from where the search began to the crossing `end`.

    `reached` is one layer of `distances`; empty where it did not get there. Straight on goes before a turn.
    """
    if reached[end] >= FAR:
        return []
    here, heading = end, (0, 0)
    corners = [here]
    while reached[here] > 0:
        steps = [s for s in (heading, (-1, 0), (1, 0), (0, -1), (0, 1)) if s != (0, 0)]
        step = next(s for s in steps if _came_from(lines, free, reached, here, s))
        if step != heading:
            if heading != (0, 0):
                corners.append(here)
            heading = step
        here = (here[0] + step[0], here[1] + step[1])
    if here != corners[-1]:
        corners.append(here)
    return [(int(lines.xs[i]), int(lines.ys[j])) for i, j in reversed(corners)]


def straightened(points: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """A walk without the points that lie in the middle of a straight stretch, or stand there twice.

    >>> straightened([(0, 0), (0, 0), (1, 0), (3, 0), (3, 2)])
    [(0, 0), (3, 0), (3, 2)]
    """
    kept: list[tuple[float, float]] = []
    for point in points:
        if kept and point == kept[-1]:
            continue
        if len(kept) > 1 and (
            kept[-2][0] == kept[-1][0] == point[0] or kept[-2][1] == kept[-1][1] == point[1]
        ):
            kept[-1] = point
        else:
            kept.append(point)
    return kept


def _came_from(lines: Lines, free: Free, reached: Ints, at: tuple[int, int], step: tuple[int, int]) -> bool:
    """True where a shortest walk to the crossing `at` may come from its neighbour in the direction `step`."""
    i, j = at[0] + step[0], at[1] + step[1]
    if not (0 <= i < len(lines.xs) and 0 <= j < len(lines.ys)):
        return False
    if step[0]:
        first = min(i, at[0])
        is_open, length = free.along_x[first, j], lines.xs[first + 1] - lines.xs[first]
    else:
        first = min(j, at[1])
        is_open, length = free.along_y[i, first], lines.ys[first + 1] - lines.ys[first]
    return bool(is_open and reached[i, j] + length == reached[at])
