"""What an item takes up of the floor in each of its turns, and what may never lie where.

Everything is relative to the lower left corner of the item's box as turned, in whole millimetres. Beside the zones
that were asked for stand the squares that somebody must be able to stand in: the middle of a work or service zone
holds a square of the access or service width, so no box may reach into that square, whatever a zone allows.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from flatstock.starting.room.question import Item, Placement, Question, Zone
from flatstock.starting.room.rectangles import Rect, overlap

__all__ = ["Floor", "Shape", "moved", "shapes_of"]


@dataclass(frozen=True, slots=True)
class Floor:
    """Floor beside a box that other boxes keep out of."""

    name: str  #: "ITEM.zone"
    rect: Rect
    allow: tuple[str, ...]  #: who may stand in it all the same
    exclusive: bool
    zone: bool  #: False for the square that somebody stands in


@dataclass(frozen=True)
class Shape:
    """An item in one of its turns."""

    item: Item
    turn: int
    box: Rect
    floors: tuple[Floor, ...]

    @cached_property
    def reach(self) -> Rect:
        """The smallest rectangle around the box and its floors."""
        rects = [self.box, *(floor.rect for floor in self.floors)]
        x, y = min(r.x_mm for r in rects), min(r.y_mm for r in rects)
        return Rect(x, y, max(r.right_mm for r in rects) - x, max(r.top_mm for r in rects) - y)

    @cached_property
    def middles(self) -> dict[str, tuple[int, int]]:
        """Twice the middle of each zone."""
        return {floor.name: floor.rect.centre_twice for floor in self.floors if floor.zone}

    @property
    def stands(self) -> bool:
        """False where somebody would have to stand in the machine itself."""
        return not any(overlap(floor.rect, self.box) for floor in self.floors if not floor.zone)


def moved(rect: Rect, x: int, y: int) -> Rect:
    """A rectangle shifted."""
    return Rect(rect.x_mm + x, rect.y_mm + y, rect.length_mm, rect.width_mm)


def shapes_of(question: Question, item: Item) -> tuple[Shape, ...]:
    """An item in each turn that it may have; where it stands already, in that alone."""
    turns = item.may_turn_deg if item.placed is None else (item.placed.turned_deg,)
    return tuple(_shape(question, item, turn) for turn in dict.fromkeys(turns))


def _shape(question: Question, item: Item, turn: int) -> Shape:
    at = Placement(x_mm=0, y_mm=0, turned_deg=turn)
    floors: list[Floor] = []
    for zone in item.zones:
        rect = item.zone_as_placed(zone, at)
        name = f"{item.id}.{zone.id}"
        floors.append(Floor(name, rect, zone.allow, zone.exclusive, zone=True))
        if zone.standing:
            floors.extend(
                Floor(name, square, (), exclusive=False, zone=False)
                for square in _square(rect, _width(question, zone))
                if zone.allow or not _always_holds(item, zone, _width(question, zone))
            )
    return Shape(item, turn, item.footprint(at), tuple(floors))


def _width(question: Question, zone: Zone) -> int:
    return question.rules.service_width_mm if zone.kind == "service" else question.rules.access_width_mm


def _always_holds(item: Item, zone: Zone, width: int) -> bool:
    """True where the zone is as wide as the square in every direction, and so says it already."""
    rect = item.zone_offset(zone, 0)
    return min(rect.length_mm, rect.width_mm) >= width + 1


def _square(rect: Rect, width: int) -> list[Rect]:
    """The square of a width round a rectangle's middle, rounded outward to whole millimetres.

    A box of whole millimetres meets an open square that ends on a half one exactly where it meets the square
    rounded outward, so this forbids neither more nor less.
    """
    x, y = rect.centre_twice
    left, low = (x - width) // 2, (y - width) // 2
    right, top = -((-x - width) // 2), -((-y - width) // 2)
    return [Rect(left, low, right - left, top - low)] if right > left and top > low else []


def clashes(one: Shape, other: Shape) -> list[tuple[Rect, Rect]]:
    """Which rectangles of two items must not overlap: each relative to the corner of its own box.

    In the same order whatever the turns.
    """
    mine, theirs = one.item.id, other.item.id
    pairs = [(one.box, other.box)]
    pairs += [(floor.rect, other.box) for floor in one.floors if theirs not in floor.allow]
    pairs += [(one.box, floor.rect) for floor in other.floors if mine not in floor.allow]
    pairs += [
        (a.rect, b.rect)
        for a in one.floors
        for b in other.floors
        if a.zone and b.zone and (a.exclusive or b.exclusive)
    ]
    return pairs
