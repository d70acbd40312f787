"""Public block layouts: things of which only the area and the longest shape are given, in a room that they fill.

Meller, Narayanan & Vance 1999; Castillo, Westerlund, Emet & Westerlund 2005, Computers & Chemical Engineering 30; least
costs as in the MINLP Library's list of instances, four of them (`FROM_MEMORY`) from memory of its pages. A thing may be
so many times as long as it is wide, or as wide as it is long; limits of sides are rounded to four digits, as published.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

__all__ = ["BEST", "FROM_MEMORY", "Block", "Layout", "layout_of"]

Flow = tuple[int, int, float]

#: least cost known of each; after "ar" how many times as long as wide a thing may be, "25" being 2.5
BEST = {
    "m6": 82.2569,
    "m7_ar25_1": 143.585,
    "m7_ar3_1": 143.585,
    "m7_ar5_1": 106.4600058,
    "fo7_ar25_1": 23.0935676,
    "fo7_ar3_1": 22.51747101,
    "fo7_ar5_1": 17.74932941,
    "fo8_ar25_1": 28.0451814,
    "fo8_ar3_1": 23.91005347,
    "fo8_ar5_1": 22.38189652,
    "fo9_ar25_1": 32.18643105,
    "fo9_ar3_1": 24.81547619,
    "fo9_ar5_1": 23.46428571,
    "no7_ar2_1": 107.8153083,
    "no7_ar4_1": 98.5184,
    "o7_ar25_1": 140.4119,
    "o7_ar3_1": 137.9318,
    "o7_ar5_1": 116.9459,
    "o9_ar4_1": 236.1384562,
}
FROM_MEMORY = ("m6", "no7_ar4_1", "o7_ar25_1", "o7_ar3_1", "o7_ar5_1")
_SEVEN = (16.0, 16.0, 16.0, 36.0, 9.0, 9.0, 9.0)
_EIGHT = (16.0, 16.0, 16.0, 36.0, 36.0, 9.0, 9.0, 9.0)
_NINE = (*_EIGHT, 9.0)
_SIX = (14.0, 10.0, 9.0, 6.0, 10.0, 25.0)
_M6: tuple[Flow, ...] = ((0, 1, 2.4), (2, 3, 12.0), (3, 5, 12.0), (4, 5, 6.0))
_M7: tuple[Flow, ...] = (*_M6, (1, 6, 7.0))
_NO7: tuple[Flow, ...] = (
    (0, 3, 5.0), (0, 6, 1.0), (1, 3, 3.0), (1, 6, 1.0), (2, 3, 2.0), (2, 6, 1.0), (3, 4, 4.0), (4, 6, 2.0),
    (5, 6, 1.0),
)  # fmt: skip
_O7: tuple[Flow, ...] = (*_NO7, (3, 5, 4.0))
_O9: tuple[Flow, ...] = (
    (0, 3, 5.0), (0, 4, 5.0), (0, 8, 1.0), (1, 3, 3.0), (1, 4, 3.0), (1, 8, 1.0), (2, 3, 2.0), (2, 4, 2.0),
    (2, 8, 1.0), (3, 5, 4.0), (3, 6, 4.0), (4, 5, 3.0), (4, 8, 4.0), (5, 8, 2.0), (6, 8, 1.0),
)  # fmt: skip
_ROOMS = {
    "m6": (15.0, 5.0, _SIX, _M6),
    "m7": (20.0, 5.0, (*_SIX, 25.0), _M7),
    "fo7": (8.54, 13.0, _SEVEN, tuple((n, n + 1, 1.0) for n in range(6))),
    "fo8": (11.31, 13.0, _EIGHT, tuple((n, n + 1, 1.0) for n in range(7))),
    "fo9": (12.0, 13.0, _NINE, tuple((n, n + 1, 1.0) for n in range(8))),
    "no7": (8.54, 13.0, _SEVEN, _NO7),
    "o7": (8.54, 13.0, _SEVEN, _O7),
    "o9": (12.0, 13.0, _NINE, _O9),
}


@dataclass(frozen=True, slots=True)
class Block:
    """A thing: area, and least and most of its sides along x and y."""

    area: float
    length: tuple[float, float]
    width: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Layout:
    """A room, the things in it, and what goes how often between which two of them."""

    name: str
    length: float
    width: float
    blocks: tuple[Block, ...]
    flows: tuple[Flow, ...]


def layout_of(name: str) -> Layout:
    """The layout of that name. Raises KeyError."""
    room, _, shape = name.partition("_ar")
    digits = shape.partition("_")[0]
    long = 4.0 if not digits else float(digits) / (10 if len(digits) > 1 else 1)
    length, width, areas, flows = _ROOMS[room]
    return Layout(name, length, width, tuple(_block(area, long, length, width) for area in areas), flows)


def _block(area: float, long: float, length: float, width: float) -> Block:
    least, most = sqrt(area / long), sqrt(area * long)
    return Block(
        area,
        (round(max(least, area / width), 4), round(min(most, length), 4)),
        (round(max(least, area / length), 4), round(min(most, width), 4)),
    )
