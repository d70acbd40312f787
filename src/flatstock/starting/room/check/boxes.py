"""Items and zones as rectangles: in the room, clear of each other, of columns, of doors; under the ceiling."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from flatstock.starting.room.plan import Broken
from flatstock.starting.room.question import Item, Placement, Question, Zone
from flatstock.starting.room.rectangles import Rect, overlap
from flatstock.starting.room.walls import door_strip, outside
from flatstock.starting.room.words import metres

__all__ = ["boxes", "heights", "zones"]

Where = Mapping[str, Placement]


def boxes(question: Question, where: Where) -> Iterator[Broken]:
    """Items wholly inside the outline, not overlapping each other, columns, or the strip before a door."""
    room = question.room
    placed = [(item, item.footprint(where[item.id])) for item in question.items if item.id in where]
    out = outside(room)
    strips = [(d, s) for d in room.doors if (s := door_strip(room, d, question.rules)) is not None]
    for item, box in placed:
        if (beyond := _beyond(room.bounds, out, box)) is not None:
            yield Broken("inside", (item.id,), f"{item.id} reaches {beyond} outside the room")
        for column in room.columns:
            if overlap(box, column.box):
                text = f"{item.id} stands {_shared(box, column.box)} on {column.id}"
                yield Broken("column", (item.id, column.id), text)
        for door, strip in strips:
            if overlap(box, strip):
                depth = strip.length_mm if door.x1_mm == door.x2_mm else strip.width_mm
                what = f"the {metres(depth)} that stay clear before {door.id}"
                yield Broken(
                    "door_strip", (item.id, door.id), f"{item.id} stands {_shared(box, strip)} in {what}"
                )
    for (a, box_a), (b, box_b) in combinations(placed, 2):
        if overlap(box_a, box_b):
            yield Broken("overlap", (a.id, b.id), f"{a.id} and {b.id} overlap by {_shared(box_a, box_b)}")


def zones(question: Question, where: Where) -> Iterator[Broken]:
    """Zones inside the outline, free of other items and columns; an exclusive one free of others' zones."""
    room, out = question.room, outside(question.room)
    placed = [(item, item.footprint(where[item.id])) for item in question.items if item.id in where]
    lying = [
        (item, zone, item.zone_as_placed(zone, where[item.id])) for item, _ in placed for zone in item.zones
    ]
    for item, zone, floor in lying:
        name = _name(item, zone)
        if (beyond := _beyond(room.bounds, out, floor)) is not None:
            yield Broken("zone_inside", (name,), f"{name} reaches {beyond} outside the room")
        others = [(other.id, box) for other, box in placed if other is not item]
        for other, box in (*others, *((column.id, column.box) for column in room.columns)):
            if other not in zone.allow and overlap(floor, box):
                text = f"{other} stands {_shared(box, floor)} in {name}"
                yield Broken("zone_free", (name, other), text)
    for (a, zone_a, floor_a), (b, zone_b, floor_b) in combinations(lying, 2):
        if a is not b and (zone_a.exclusive or zone_b.exclusive) and overlap(floor_a, floor_b):
            alone, other = (_name(a, zone_a), _name(b, zone_b))[:: 1 if zone_a.exclusive else -1]
            text = f"{alone} shares {_shared(floor_a, floor_b)} of floor with {other}, and must share none"
            yield Broken("zone_exclusive", (alone, other), text)


def heights(question: Question, where: Where) -> Iterator[Broken]:
    """Items with their head room under the ceiling and under whatever hangs over them."""
    room = question.room
    for item in question.items:
        if item.id not in where or item.height_mm is None:
            continue
        needs = item.height_mm + item.head_room_mm
        if room.height_mm is not None and needs > room.height_mm:
            text = f"{item.id} needs {metres(needs)} of height, the room has {metres(room.height_mm)}"
            yield Broken("height", (item.id,), text)
        for low in room.low:
            if needs > low.height_mm and overlap(item.footprint(where[item.id]), low.box):
                text = f"{item.id} needs {metres(needs)} of height, under {low.id} there are {metres(low.height_mm)}"
                yield Broken("height", (item.id, low.id), text)


def _name(item: Item, zone: Zone) -> str:
    return f"{item.id}.{zone.id}"


def _shared(a: Rect, b: Rect) -> str:
    """What two overlapping rectangles share."""
    x = min(a.right_mm, b.right_mm) - max(a.x_mm, b.x_mm)
    y = min(a.top_mm, b.top_mm) - max(a.y_mm, b.y_mm)
    return f"{metres(x)} x {metres(y)}"


def _beyond(bounds: Rect, out: list[Rect], box: Rect) -> str | None:
    """How far a box reaches out of the room; None where it doesn't."""
    over = max(
        bounds.x_mm - box.x_mm,
        box.right_mm - bounds.right_mm,
        bounds.y_mm - box.y_mm,
        box.top_mm - bounds.top_mm,
    )
    if over > 0:
        return metres(over)
    return next((_shared(box, cell) for cell in out if overlap(box, cell)), None)
