"""From millimetres of the room to millimetres of paper, at a round scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flatstock.prints.room_lengths import length_words

__all__ = ["BELOW", "LEGEND", "PER_MM", "SCALES", "View", "extent", "length_words", "scale_for", "view_of"]

Document = Mapping[str, Any]
Point = tuple[float, float]
#: 1:20 and so on; a ruler of the trade has them, and at 1:40 a metre is 25 mm of any ruler
SCALES = (10, 20, 25, 40, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 2000)
PER_MM = 4  #: units of the drawing in a millimetre of paper
LEFT, RIGHT, ABOVE = 14.0, 6.0, 6.0  #: paper beside and above the room [mm]
BELOW = 22.0  #: for the dimension and the scale bar [mm]
LEGEND = (34.0, 5.5)  #: one entry of the legend, wide and tall [mm]
BARE = 2.0  #: round a thing without a legend [mm]
ENTRIES = 10  #: in the legend, at most


@dataclass(frozen=True, slots=True)
class View:
    """A part of the room on paper: x to the right, y down."""

    left_mm: float  #: of the room, as all four
    low_mm: float
    right_mm: float
    top_mm: float
    scale: int  #: 50 for 1:50
    legend: bool = True

    @property
    def around(self) -> tuple[float, float, float, float]:
        """Paper left, below, right and above the room [mm]; below it the legend in as many rows as it takes."""
        if not self.legend:
            return BARE, BARE, BARE, BARE
        return LEFT, BELOW + -(-ENTRIES // self.in_a_row) * LEGEND[1], RIGHT, ABOVE

    @property
    def in_a_row(self) -> int:
        """How many entries of the legend stand beside each other."""
        return max(1, int(((self.right_mm - self.left_mm) / self.scale + LEFT + RIGHT) // LEGEND[0]))

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Width and height on paper."""
        left, low, right, top = self.around
        wide, tall = self.right_mm - self.left_mm, self.top_mm - self.low_mm
        return wide / self.scale + left + right, tall / self.scale + low + top

    @property
    def units(self) -> tuple[float, float]:
        """The same in units of the drawing."""
        wide, tall = self.paper_mm
        return wide * PER_MM, tall * PER_MM

    def at(self, x_mm: float, y_mm: float) -> Point:
        """A point of the room in units of the drawing."""
        left, _, _, top = self.around
        x = (x_mm - self.left_mm) / self.scale + left
        y = (self.top_mm - y_mm) / self.scale + top
        return x * PER_MM, y * PER_MM

    def long(self, length_mm: float) -> float:
        """A length of the room in units of the drawing."""
        return length_mm / self.scale * PER_MM

    def corners(self, box: Document) -> list[Point]:
        """The corners of a rectangle of the document."""
        x, y, length, width = (box[key] for key in ("x_mm", "y_mm", "length_mm", "width_mm"))
        return [self.at(*p) for p in ((x, y), (x + length, y), (x + length, y + width), (x, y + width))]


def extent(document: Document) -> tuple[float, float, float, float]:
    """Left, lower, right and upper end of the room and of the doors that open out of it [mm]."""
    xs = [corner[0] for corner in document["room"]["outline_mm"]]
    ys = [corner[1] for corner in document["room"]["outline_mm"]]
    left, low, right, top = min(xs), min(ys), max(xs), max(ys)
    for door in document["room"].get("doors") or ():
        if door.get("opens", "out") != "out":
            continue
        leaf = max(abs(door["x2_mm"] - door["x1_mm"]), abs(door["y2_mm"] - door["y1_mm"]))
        if door["x1_mm"] == door["x2_mm"]:
            left, right = (
                min(left, door["x1_mm"] - leaf * (door["x1_mm"] == min(xs))),
                max(right, door["x1_mm"] + leaf * (door["x1_mm"] == max(xs))),
            )
        else:
            low, top = (
                min(low, door["y1_mm"] - leaf * (door["y1_mm"] == min(ys))),
                max(top, door["y1_mm"] + leaf * (door["y1_mm"] == max(ys))),
            )
    return left, low, right, top


def view_of(document: Document, scale: int) -> View:
    """The whole room at a scale."""
    return View(*extent(document), scale)


def scale_for(document: Document, wide_mm: float, tall_mm: float) -> int:
    """The largest round scale at which the room with its dimensions fits on so much paper.

    >>> room = {"room": {"outline_mm": [[0, 0], [9200, 0], [9200, 5600], [0, 5600]]}}
    >>> scale_for(room, 277, 160)
    50
    """
    for scale in SCALES:
        wide, tall = view_of(document, scale).paper_mm
        if wide <= wide_mm and tall <= tall_mm:
            return scale
    return SCALES[-1]
