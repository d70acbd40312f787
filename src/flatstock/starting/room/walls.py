"""What of a room is solid before anything stands in it, the strips before its doors, and its ways out."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from flatstock.starting.room.question import Door, Room, Rules
from flatstock.starting.room.rectangles import Rect, overlap

__all__ = ["door_strip", "exit_squares", "floor_m2", "inside", "inward", "is_inside", "outside", "walls_of"]


def walls_of(room: Room) -> list[tuple[int, int, int, int]]:
    """Each wall as x1, y1, x2, y2 in turn [mm]."""
    corners = room.outline_mm
    return [(*a, *b) for a, b in pairwise((*corners, corners[0]))]


def outside(room: Room) -> list[Rect]:
    """Rectangles that cover all of the outline's bounding box that is not room; none overlap."""
    return _cells(room, wanted=False)


def inside(room: Room) -> list[Rect]:
    """Rectangles that cover the room; none overlap."""
    return _cells(room, wanted=True)


def floor_m2(room: Room) -> float:
    """Floor within the outline, columns included [m2]."""
    return sum(part.area_mm2 for part in inside(room)) / 1e6


def is_inside(room: Room, box: Rect, out: Iterable[Rect] | None = None) -> bool:
    """True where `box` lies wholly in the room, edges included; `out` is `outside(room)` if it is at hand."""
    return room.bounds.holds(box) and not any(
        overlap(box, cell) for cell in (outside(room) if out is None else out)
    )


def inward(room: Room, door: Door) -> tuple[int, int] | None:
    """The direction from a door into the room; None where it stands in no wall."""
    for x1, y1, x2, y2 in walls_of(room):
        if x1 == x2 == door.x1_mm == door.x2_mm and door.y1_mm != door.y2_mm:
            low, high = sorted((door.y1_mm, door.y2_mm))
            if min(y1, y2) <= low and high <= max(y1, y2):
                return (-1, 0) if y2 > y1 else (1, 0)  # counter-clockwise: the room is on the left
        if y1 == y2 == door.y1_mm == door.y2_mm and door.x1_mm != door.x2_mm:
            low, high = sorted((door.x1_mm, door.x2_mm))
            if min(x1, x2) <= low and high <= max(x1, x2):
                return (0, 1) if x2 > x1 else (0, -1)
    return None


def door_strip(room: Room, door: Door, rules: Rules) -> Rect | None:
    """The floor before a door that no item may stand on; None where nothing is asked of it.

    `door_clear_mm` deep before an exit or a goods door; before a door that opens inward the leaf's width, if
    that is more: the whole opening for one leaf, half of it for two.
    """
    along = abs(door.x2_mm - door.x1_mm) + abs(door.y2_mm - door.y1_mm)
    leaf = {"in": along, "in_double": -(-along // 2)}.get(door.opens, 0)
    depth = max(rules.door_clear_mm if door.exit or door.goods else 0, leaf)
    return _against(room, door, 0, along, depth) if depth else None


def exit_squares(room: Room, rules: Rules) -> list[tuple[Door, Rect]]:
    """For each exit wide enough, the strip one escape width deep within its clear width, against the opening.

    A square of the escape width is out when it lies in such a strip. An exit whose clear width is less than
    the escape width has none.
    """
    found = []
    for door in room.doors:
        along = abs(door.x2_mm - door.x1_mm) + abs(door.y2_mm - door.y1_mm)
        clear = min(door.clear_width_mm, along)
        if door.exit and clear >= rules.escape_width_mm:
            strip = _against(room, door, (along - clear) // 2, clear, rules.escape_width_mm)
            if strip is not None:
                found.append((door, strip))
    return found


def _against(room: Room, door: Door, first: int, along: int, depth: int) -> Rect | None:
    """A strip inside the room against a door, from `first` on `along` it, `depth` deep."""
    direction = inward(room, door)
    if direction is None:
        return None
    x, y = min(door.x1_mm, door.x2_mm), min(door.y1_mm, door.y2_mm)
    if direction[0]:
        return Rect(x if direction[0] > 0 else x - depth, y + first, depth, along)
    return Rect(x + first, y if direction[1] > 0 else y - depth, along, depth)


def _cells(room: Room, *, wanted: bool) -> list[Rect]:
    """The bounding box cut at every corner's y, and each strip at the walls that cross it."""
    bounds = room.bounds
    upright = [(x1, min(y1, y2), max(y1, y2)) for x1, y1, x2, y2 in walls_of(room) if x1 == x2]
    found: list[Rect] = []
    for low, high in pairwise(sorted({y for _, y in room.outline_mm})):
        xs = sorted(x for x, bottom, top in upright if bottom <= low and high <= top)
        ends = xs if wanted else [bounds.x_mm, *xs, bounds.right_mm]
        for left, right in zip(ends[::2], ends[1::2], strict=True):
            if right > left:
                found.append(Rect(left, low, right - left, high - low))
    return found
