"""Squares of side 1 to n in the least rectangle, through the room's own model: beside the areas known to be least.

Korf, Moffitt & Pollack 2010, Annals of Operations Research 179, and Huang & Korf 2013, JAIR 46; the instances are the
numbers 1 to n. A square is a thing without zones, a rectangle a bare room. From below, each rectangle of so small an
area is refused by a proof or holds all of them, which ends it; where that takes too long, smaller and smaller
rectangles that hold them are looked for from above.
"""

from __future__ import annotations

import time
from collections.abc import Iterator

from benchmarks.table import Row
from flatstock.starting.room.question import Item, Question, Room, Rules
from flatstock.starting.room.solve.conflict import boxes_lie

__all__ = ["LEAST_AREAS", "least_rectangle", "square_rows"]

LEAST_AREAS = {
    4: 35, 6: 99, 8: 210, 10: 405, 12: 667, 14: 1035, 16: 1512, 18: 2139, 20: 2890, 22: 3822, 24: 4928, 26: 6230,
    28: 7749, 30: 9486, 32: 11475,
}  # fmt: skip
LONG = (1.0, 1.25, 1.6, 2.0, 2.5, 3.0)  # proportions that are looked at from above
FROM_BELOW = 0.4  # share of the time
FIRST_WASTE, A_LOOK_S = (
    0.1,
    2.0,
)  # that is easy for all; [s] for one rectangle at first, longer where none is found


def square_rows(*, quick: bool) -> Iterator[Row]:
    """One row a number of squares, each with a minute."""
    for count, known in LEAST_AREAS.items():
        if quick and count > 4:
            return
        began = time.perf_counter()
        area, bound = least_rectangle(count, until=time.monotonic() + 60)
        said = "none found" if area is None else f"area {area}"
        yield Row(
            work=f"squares of side 1 to {count} in the least rectangle",
            seconds=time.perf_counter() - began,
            error=None if area is None else area / known - 1,
            setting=f"{said}, {'proven' if area == bound else f'bound {bound}'}; known to be least: {known}",
            note="one run; the error is how much larger it is than the least known",
        )


def least_rectangle(count: int, *, until: float) -> tuple[int | None, int]:
    """The least area found, None: none; and the area that every rectangle has at least, as far as that was proven."""
    now = time.monotonic()
    area, bound = _from_below(count, now + FROM_BELOW * (until - now))
    return (_from_above(count, until) if area is None else area), bound


def _from_below(count: int, until: float) -> tuple[int | None, int]:
    """The least area and a bound, which are the same; or no area, and the first one that was not refused in time."""
    total = sum(side * side for side in range(1, count + 1))
    for area in range(total, 2 * total):
        for width in range(count, int(area**0.5) + 1):
            if area % width == 0:
                said = boxes_lie(_squares(count, area // width, width), until)
                if said is not False:
                    return (area if said else None), area
    raise AssertionError("twice their own area holds any number of squares.")


def _from_above(count: int, until: float) -> int | None:
    """An area that holds them, as small as is found: half as much waste each time, or somewhat more where it is not."""
    total = sum(side * side for side in range(1, count + 1))
    best, most, share, look = None, int(total * (1 + FIRST_WASTE)), 0.5, A_LOOK_S
    wanted = most
    while time.monotonic() < until:
        found = _one_that_holds(count, wanted, look, until)
        if found is not None:
            best, share = found, 0.5
        else:
            share, look = (1 + share) / 2, 1.5 * look
        highest = most if best is None else best
        wanted = min(highest - (best is not None), total + int(share * (highest - total)))
    return best


def _one_that_holds(count: int, area: int, look: float, until: float) -> int | None:
    """The area of a rectangle, no larger than `area`, that holds them; None: not found so soon."""
    for long in LONG:
        width = int((area / long) ** 0.5)
        length = area // width
        left = until - time.monotonic()
        if left > 0 and boxes_lie(_squares(count, length, width), time.monotonic() + min(left, 3 * look)):
            return length * width
    return None


def _squares(count: int, length: int, width: int) -> Question:
    items = tuple(
        Item(id=f"S{side}", kind="other", length_mm=side, width_mm=side, may_turn_deg=(0,))
        for side in range(count, 0, -1)
    )
    room = Room(outline_mm=((0, 0), (length, 0), (length, width), (0, width)))
    return Question(shop="", room=room, rules=Rules(), items=items, grid_mm=1)
