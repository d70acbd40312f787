"""Axis-parallel rectangles in whole millimetres: touching is not overlapping."""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt

__all__ = ["Rect", "gap", "gap_over", "gap_reaches", "overlap"]


@dataclass(frozen=True, slots=True, order=True)
class Rect:
    """A closed rectangle by its lower left corner; x to the right, y up [mm]."""

    x_mm: int
    y_mm: int
    length_mm: int  #: along x
    width_mm: int  #: along y

    @property
    def right_mm(self) -> int:
        """Its greatest x."""
        return self.x_mm + self.length_mm

    @property
    def top_mm(self) -> int:
        """Its greatest y."""
        return self.y_mm + self.width_mm

    @property
    def centre_twice(self) -> tuple[int, int]:
        """Twice the coordinates of its centre: whole numbers whatever its sides [mm]."""
        return 2 * self.x_mm + self.length_mm, 2 * self.y_mm + self.width_mm

    @property
    def area_mm2(self) -> int:
        """Its area [mm2]."""
        return self.length_mm * self.width_mm

    def holds(self, other: Rect) -> bool:
        """True where `other` lies in it, edges included."""
        return (
            self.x_mm <= other.x_mm
            and other.right_mm <= self.right_mm
            and self.y_mm <= other.y_mm
            and other.top_mm <= self.top_mm
        )


def overlap(a: Rect, b: Rect) -> bool:
    """True where the insides meet; touching is not overlapping.

    >>> overlap(Rect(0, 0, 10, 10), Rect(10, 0, 5, 5)), overlap(Rect(0, 0, 10, 10), Rect(9, 9, 5, 5))
    (False, True)
    """
    return a.x_mm < b.right_mm and b.x_mm < a.right_mm and a.y_mm < b.top_mm and b.y_mm < a.top_mm


def gap_reaches(a: Rect, b: Rect, shortest_mm: int) -> bool:
    """True where the straight gap between two rectangles is at least `shortest_mm`, exactly."""
    x, y = _apart(a, b)
    return x * x + y * y >= shortest_mm * shortest_mm


def gap_over(a: Rect, b: Rect, longest_mm: int) -> bool:
    """True where the straight gap between two rectangles is more than `longest_mm`, exactly."""
    x, y = _apart(a, b)
    return x * x + y * y > longest_mm * longest_mm


def gap(a: Rect, b: Rect) -> int:
    """The straight gap between two rectangles, rounded down [mm]; 0 where they touch or overlap.

    >>> gap(Rect(0, 0, 10, 10), Rect(40, 50, 10, 10))
    50
    """
    x, y = _apart(a, b)
    return isqrt(x * x + y * y)


def _apart(a: Rect, b: Rect) -> tuple[int, int]:
    x = max(b.x_mm - a.right_mm, a.x_mm - b.right_mm, 0)
    y = max(b.y_mm - a.top_mm, a.y_mm - b.top_mm, 0)
    return x, y
