"""A curve that bends upwards as the highest of a few straight lines, in whole numbers."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil

__all__ = ["SCALE", "Line", "straight_lines"]

SCALE = 10_000  #: lines are told in ten-thousandths of a minute
Line = tuple[int, int]  #: what a minute along adds, and the value at none: both in 1/`SCALE` min
NEAR = 0.5  #: minutes that leaving a point out may change


def straight_lines(at: Sequence[float], values: Sequence[float]) -> tuple[Line, ...]:
    """Lines through points of a curve, minutes by minutes, the first of them at 0.

    Between two points the line lies above the curve. A point that lies above the line of its neighbours, where the
    curve doesn't bend upwards, and one that would hardly change anything, is left out. Beyond the last point the last
    line goes on.

    >>> straight_lines([0, 100, 200, 300], [10, 10, 60, 110])
    ((0, 100000), (5000, -400000))
    """
    points = list(zip(at, values, strict=True))
    while (n := _needless(points)) is not None:
        del points[n]
    lines = []
    for (x0, y0), (x1, y1) in pairwise(points):
        slope = max(0, ceil(SCALE * (y1 - y0) / (x1 - x0) - 1e-9))
        lines.append((slope, ceil(SCALE * y0 - slope * x0 - 1e-9)))
    return tuple(lines) or ((0, ceil(SCALE * points[0][1] - 1e-9)),)


def _needless(points: Sequence[tuple[float, float]]) -> int | None:
    """The point inside that lies least below the line of its neighbours, or highest above it; None: each is needed."""
    below = [
        (y0 + (y1 - y0) * (x - x0) / (x1 - x0) - y, n)
        for n, ((x0, y0), (x, y), (x1, y1)) in enumerate(zip(points, points[1:], points[2:], strict=False), 1)
    ]
    least = min(below, default=(NEAR, 0))
    return least[1] if least[0] < NEAR else None
