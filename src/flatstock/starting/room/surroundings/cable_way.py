"""The way of one cable as seen from above: no longer than it must be, inside the walls, over few machines."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from heapq import heappop, heappush
from itertools import pairwise

from flatstock.starting.room.rectangles import Rect

__all__ = ["Point", "cable_way"]

Point = tuple[float, float]
Cell = tuple[int, int, int]  # column and row of the lines, and the axis that it was come along
Cost = tuple[float, float, int, float]
START = -1  # come along neither axis yet


def cable_way(
    start: Point, end: Point, *, floor: Sequence[Rect], solid: Sequence[Rect], boxes: Sequence[Rect]
) -> list[Point]:
    """The corners of the way from `start` to `end`, along the walls' directions [mm].

    The shortest over `floor` (rectangles, edges included) past what is `solid`; of those the one that runs least over
    `boxes`, then with the fewest bends, then the longer stretch first. Straight to a corner and on where there is no
    way. Dijkstra over the lines through all edges and both ends, as for walks.

    >>> cable_way((0, 0), (30, 20), floor=[Rect(0, 0, 40, 40)], solid=[], boxes=[Rect(20, -5, 5, 10)])
    [(0, 0), (0, 20), (30, 20)]
    """
    if start == end:
        return [start, end]
    lines = [sorted({start[axis], end[axis], *_edges((*floor, *solid, *boxes), axis)}) for axis in (0, 1)]
    at = tuple(bisect_left(lines[axis], start[axis]) for axis in (0, 1))
    goal = tuple(bisect_left(lines[axis], end[axis]) for axis in (0, 1))
    longer = 0 if abs(end[0] - start[0]) >= abs(end[1] - start[1]) else 1
    first: Cell = (at[0], at[1], START)
    best: dict[Cell, Cost] = {first: (0.0, 0.0, 0, 0.0)}
    before: dict[Cell, Cell] = {}
    heap: list[tuple[Cost, Cell]] = [(best[first], first)]
    while heap:
        cost, cell = heappop(heap)
        if cost > best[cell]:
            continue
        if cell[:2] == goal:
            return _corners(_back(before, cell), lines)
        for cell_on, axis, a, b in _steps(cell, lines):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            if not any(_on(middle, part) for part in floor) or any(_in(middle, part) for part in solid):
                continue
            long = abs(b[0] - a[0]) + abs(b[1] - a[1])
            over = long if any(_in(middle, box) for box in boxes) else 0.0
            bends = int(cell[2] not in (axis, START))
            late = long * cost[0] if axis == longer else 0.0  # the longer stretch is better gone early
            found = (cost[0] + long, cost[1] + over, cost[2] + bends, cost[3] + late)
            if cell_on not in best or found < best[cell_on]:
                best[cell_on], before[cell_on] = found, cell
                heappush(heap, (found, cell_on))
    corner = (end[0], start[1]) if longer == 0 else (start[0], end[1])
    return [start, *([corner] if corner not in (start, end) else []), end]


def _edges(parts: Iterable[Rect], axis: int) -> Iterator[float]:
    for part in parts:
        yield from ((part.x_mm, part.right_mm) if axis == 0 else (part.y_mm, part.top_mm))


def _steps(cell: Cell, lines: Sequence[Sequence[float]]) -> Iterator[tuple[Cell, int, Point, Point]]:
    """To each neighbouring crossing of two lines: it, the axis along which it lies, both ends."""
    here = (lines[0][cell[0]], lines[1][cell[1]])
    for axis, by in ((0, 1), (0, -1), (1, 1), (1, -1)):
        on = (cell[0] + by, cell[1]) if axis == 0 else (cell[0], cell[1] + by)
        if 0 <= on[axis] < len(lines[axis]):
            yield (*on, axis), axis, here, (lines[0][on[0]], lines[1][on[1]])


def _on(point: Point, part: Rect) -> bool:
    return part.x_mm <= point[0] <= part.right_mm and part.y_mm <= point[1] <= part.top_mm


def _in(point: Point, part: Rect) -> bool:
    return part.x_mm < point[0] < part.right_mm and part.y_mm < point[1] < part.top_mm


def _back(before: dict[Cell, Cell], cell: Cell) -> list[Cell]:
    way = [cell]
    while way[-1] in before:
        way.append(before[way[-1]])
    return way[::-1]


def _corners(way: Sequence[Cell], lines: Sequence[Sequence[float]]) -> list[Point]:
    """Both ends, and where the way bends."""
    points = [(lines[0][cell[0]], lines[1][cell[1]]) for cell in way]
    bends = [points[n] for n, (a, b) in enumerate(pairwise(way[1:]), 1) if a[2] != b[2]]
    return [points[0], *bends, points[-1]]
