"""Where words stand on a plan, so that they hide nothing that must be read off it, and are not hidden themselves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Literal

from flatstock.prints.drawing.svg import Drawing, Point, text_width

__all__ = ["EDGE", "LINE", "ROW", "WORDS", "Anchor", "Labels"]

Anchor = Literal["start", "middle", "end"]
Box = tuple[float, float, float, float]  # left, top, right, bottom
#: how bad it is to cover other words, the edge of something that stands, a line that can be followed
WORDS, EDGE, LINE = 100.0, 10.0, 1.0
ROW = 1.2  # from one row of words to the next, in sizes


class Labels:
    """What is on a drawing already; words are put where they cover the least of it."""

    def __init__(self, width: float, height: float) -> None:
        self._paper = (0.0, 0.0, width, height)
        self._kept: list[tuple[Box, float]] = []

    def keep(self, points: Sequence[Point], weight: float) -> None:
        """The rectangle round `points` is covered only for want of a better place."""
        xs, ys = zip(*points, strict=True)
        self._kept.append(((min(xs), min(ys), max(xs), max(ys)), weight))

    def keep_line(self, points: Sequence[Point], weight: float, *, closed: bool = False) -> None:
        """The same for each stretch of a line."""
        for stretch in pairwise([*points, points[0]] if closed else points):
            self.keep(stretch, weight)

    def put(
        self,
        drawing: Drawing,
        places: Iterable[tuple[Point, Anchor]],
        rows: Sequence[str],
        *,
        size: float,
        bold: bool = False,
    ) -> None:
        """Write `rows` on white where they cover the least; of equal `places`, foot of the last row, the first."""
        wide = max(text_width(row, size, bold) for row in rows)
        best = min(
            places, key=lambda place: round(self._covered(_box(place, wide, size, len(rows))), 6)
        )  # min keeps the first of equals
        (x, foot), anchor = best
        for up, row in enumerate(reversed(rows)):
            at = (x, foot - up * ROW * size)
            drawing.words(at, row, size=size, anchor=anchor, bold=bold, ground=True)
        left, top, right, bottom = _box(best, wide, size, len(rows))
        self.keep([(left, top), (right, bottom)], WORDS)

    def _covered(self, box: Box) -> float:
        off = 0.0 if _within(box, self._paper) else WORDS
        return off + sum(weight for kept, weight in self._kept if _meet(box, kept))


def _box(place: tuple[Point, Anchor], wide: float, size: float, rows: int) -> Box:
    """What words cover with their ground."""
    (x, foot), anchor = place
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return left - 2, foot - size * (0.84 + (rows - 1) * ROW), left + wide + 2, foot + size * 0.24


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _within(a: Box, b: Box) -> bool:
    return b[0] <= a[0] and b[1] <= a[1] and a[2] <= b[2] and a[3] <= b[3]
