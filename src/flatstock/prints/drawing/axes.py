"""A frame with two scales, ticks at round numbers and named moments over it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from flatstock.pressing.pictures import Moment
from flatstock.prints.drawing.svg import GRID, QUIET, RULE, Drawing, Point, text_width

__all__ = ["Axes", "legible_ticks", "round_step"]


def round_step(span: float, most: float, *, steps: Sequence[float] = (1, 2, 5, 10)) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that gives at most `most` ticks over `span`.

    >>> round_step(28, 8), round_step(0.9, 5)
    (5.0, 0.2)
    """
    least = span / most
    power = 10.0 ** floor(log10(least))
    return next(step * power for step in steps if step * power >= least * (1 - 1e-9))


def ticks(low: float, high: float, step: float) -> list[float]:
    """The multiples of `step` from `low` to `high`."""
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [i * step for i in range(first, last + 1)]


def legible_ticks(high: float, room: float, *, most: int = 8, size: float = 13) -> list[tuple[float, str]]:
    """Round numbers from 0 to `high` over a width of `room`, at most `most`, and no label on its neighbour.

    >>> [words for _, words in legible_ticks(0.8, 140)]
    ['0', '0.2', '0.4', '0.6', '0.8']
    """
    for count in range(most, 0, -1):
        step = round_step(high, count)
        found = [(value, f"{value:g}") for value in ticks(0, high, step)]
        if max(text_width(words, size) for _, words in found) + size / 2 <= room * step / high:
            break
    return found


@dataclass(frozen=True, slots=True)
class Axes:
    """Where a rectangle of the drawing stands, and what its sides mean."""

    drawing: Drawing
    left: float
    top: float
    right: float
    bottom: float
    x_low: float
    x_high: float
    y_low: float
    y_high: float

    def x(self, value: float) -> float:
        """Where `value` stands across."""
        share = (value - self.x_low) / (self.x_high - self.x_low)
        return self.left + share * (self.right - self.left)

    def y(self, value: float) -> float:
        """Where `value` stands up the side."""
        share = (value - self.y_low) / (self.y_high - self.y_low)
        return self.bottom - share * (self.bottom - self.top)

    def points(self, xs: Iterable[float], ys: Iterable[float]) -> list[Point]:
        """Pairs of values as points of the drawing."""
        return [(self.x(float(x)), self.y(float(y))) for x, y in zip(xs, ys, strict=True)]

    def clear(self) -> None:
        """Make the ground white."""
        self.drawing.box(self.left, self.top, self.right - self.left, self.bottom - self.top, "#ffffff")

    def across(self, at: Iterable[tuple[float, str]], *, caption: str = "", grid: bool = True) -> None:
        """Ticks along the foot, each with its words, and what they count in."""
        for value, label in at:
            x = self.x(value)
            if grid:
                self.drawing.line((x, self.top), (x, self.bottom), GRID)
            self.drawing.line((x, self.bottom), (x, self.bottom + 4), QUIET)
            self.drawing.words((x, self.bottom + 17), label, anchor="middle")
        if caption:
            self.drawing.words((self.right, self.bottom + 32), caption, anchor="end", size=12)

    def up(self, at: Iterable[tuple[float, str]], *, caption: str = "", grid: bool = True) -> None:
        """Ticks up the left side, each with its words, and what they count in."""
        for value, label in at:
            y = self.y(value)
            if grid:
                self.drawing.line((self.left, y), (self.right, y), GRID)
            self.drawing.words((self.left - 6, y + 4.5), label, anchor="end")
        if caption:
            self.drawing.words((self.left - 6, self.top - 8), caption, anchor="end", size=12)

    def rules(self) -> None:
        """The heavy rule along the foot and up the side."""
        self.drawing.curve([(self.left, self.top), (self.left, self.bottom), (self.right, self.bottom)], RULE)

    def named(
        self, moments: Sequence[Moment], *, per: float, rows: int = 3, foot: float | None = None
    ) -> None:
        """Named instants as upright dashed lines, their words over the frame in rows that don't collide.

        `per` is the number of seconds in a unit of the axis.
        """
        free = [self.left - 1.0] * rows
        for moment in sorted(moments, key=lambda one: one.time):
            value = moment.time / per
            if not self.x_low <= value <= self.x_high:
                continue
            x, text = self.x(value), f"{moment.label} {value:.3g}"
            wide = text_width(text, 12)
            start = min(x, self.right - wide)
            row = next((i for i, edge in enumerate(free) if start > edge), free.index(min(free)))
            free[row] = start + wide + 8
            y = self.top - 6 - 15 * row
            self.drawing.line((x, y + 3), (x, self.bottom if foot is None else foot), QUIET.dashed("2 3"))
            self.drawing.words((start, y), text, size=12)
