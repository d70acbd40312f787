"""A stretch of one day laid out across a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from flatstock.prints.clock_face import ClockFace, hour_of
from flatstock.prints.drawing.svg import GRID, QUIET, Drawing, text_width
from flatstock.prints.plan_view import hours_of

__all__ = ["Hours", "fits"]


def fits(text: str, size: float, width: float) -> bool:
    """Whether words find room in so much width."""
    return text_width(text, size) <= width


@dataclass(frozen=True, slots=True)
class Hours:
    """From `first` to `last` full hour of `day`, between two edges."""

    drawing: Drawing
    day: date
    first: int
    last: int
    left: float
    right: float

    def x(self, moment: datetime | float) -> float:
        """Where a moment, or hours from midnight, stands; outside the stretch at its edge."""
        hours = moment if isinstance(moment, (int, float)) else hours_of(moment, self.day)
        share = (min(max(hours, self.first), self.last) - self.first) / (self.last - self.first)
        return self.left + share * (self.right - self.left)

    def seen(self, start: datetime, end: datetime) -> bool:
        """Whether any of a stretch of time lies within."""
        return hours_of(start, self.day) < self.last and hours_of(end, self.day) > self.first

    def rules(self, top: float, bottom: float) -> None:
        """A light upright at each hour, a lighter one at each half."""
        for half in range(2 * self.first, 2 * self.last + 1):
            x = self.x(half / 2)
            self.drawing.line((x, top), (x, bottom), GRID if half % 2 == 0 else GRID.dashed("1 4"))

    def labels(self, y: float, *, size: float = 11, face: ClockFace = "24h") -> None:
        """The hours in figures."""
        for hour in range(self.first, self.last + 1):
            x = self.x(hour)
            self.drawing.line((x, y + 3), (x, y + 7), QUIET)
            on_the_clock = hour if hour == self.last == 24 else hour % 24
            self.drawing.words((x, y), hour_of(on_the_clock, face), anchor="middle", size=size)
