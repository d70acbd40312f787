"""Squares of side 1 to n in the least rectangle, through the room's own model: beside the areas known to be least.

Korf, Moffitt & Pollack 2010, Annals of Operations Research 179, and Huang & Korf 2013, JAIR 46; the instances are the
numbers 1 to n. A square is a thing without zones, a rectangle a bare room; the least area is the first whose room holds
all of them.
"""

from __future__ import annotations

import time
from collections.abc import Iterator

from benchmarks.table import Row
from flatstock.starting.room.question import Item, Question, Room, Rules
from flatstock.starting.room.solve.conflict import boxes_lie

__all__ = ["LEAST_AREAS", "least_rectangle", "square_rows"]

LEAST_AREAS = {4: 35, 6: 99, 8: 210, 10: 405}


def square_rows(*, quick: bool) -> Iterator[Row]:
    """One row a number of squares, each with a minute."""
    for count in (4,) if quick else (6, 8, 10):
        began = time.perf_counter()
        area, proven = least_rectangle(count, until=time.monotonic() + 60)
        known = LEAST_AREAS[count]
        said = "none found" if area is None else f"area {area}, {'proven' if proven else 'not proven'}"
        yield Row(
            work=f"squares of side 1 to {count} in the least rectangle",
            seconds=time.perf_counter() - began,
            setting=f"{said}; known to be least: {known}",
            note="one run",
        )


def least_rectangle(count: int, *, until: float) -> tuple[int | None, bool]:
    """The least area, and whether every smaller one was refused by a proof."""
    total = sum(side * side for side in range(1, count + 1))
    proven = True
    for area in range(total, 2 * total):
        for width in range(count, int(area**0.5) + 1):
            if area % width:
                continue
            said = boxes_lie(_squares(count, area // width, width), until)
            if said:
                return area, proven
            proven = proven and said is False
            if time.monotonic() >= until:
                return None, False
    return None, False


def _squares(count: int, length: int, width: int) -> Question:
    items = tuple(
        Item(id=f"S{side}", kind="other", length_mm=side, width_mm=side, may_turn_deg=(0,))
        for side in range(count, 0, -1)
    )
    room = Room(outline_mm=((0, 0), (length, 0), (length, width), (0, width)))
    return Question(shop="", room=room, rules=Rules(), items=items, grid_mm=1)
