"""Aisles asked for in the model: a few free rectangles in which people and the trolley get everywhere.

The first aisle ends at an exit, each other one joins one before it as widely as a way out, and from the middle of each
standing place a short piece of floor, as wide as somebody who works there needs, leads into one of them; the trolley
has such rectangles of its own. Whatever stands so lets people out, but not every plan that passes has so few aisles:
what this model refuses may well be, and nothing is ever called impossible for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flatstock.starting.room.question import Item, Near, Trolley, Zone
from flatstock.starting.room.solve.cpsat import Var
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.trolley import turning_side
from flatstock.starting.room.walls import exit_squares

__all__ = ["ask_for_aisles"]

Sides = Sequence[Var]  #: left, right, low, high
Point = tuple[Var, Var]


@dataclass(frozen=True, slots=True)
class _Aisle:
    """A rectangle to walk in; with a limit to an exit also the point where it leaves for it, and how far it then is."""

    rect: Sides
    gate: Point | None = None  #: middle of a square as wide as a way out [half mm]
    far: Var = 0  #: at least [half mm]; an exit has none


@dataclass(frozen=True, slots=True)
class _Part:
    """A rectangle that the trolley moves about in, and whether it does so lying, standing, or both and turns."""

    rect: Sides
    ways: tuple[Var, Var]


def ask_for_aisles(master: Master, *, aisles: int, trolley_parts: int) -> None:
    """Ask for at most so many aisles, and so many rectangles for the trolley."""
    question, rules = master.question, master.question.rules
    exits = [_Aisle((s.x_mm, s.right_mm, s.y_mm, s.top_mm)) for _, s in exit_squares(question.room, rules)]
    ways: list[_Aisle] = []
    for n in range(aisles):
        ways.append(_aisle(master, ways if n else exits))
    for item in question.items:
        for zone in item.zones:
            if zone.standing:
                _led_out(master, item, zone, ways)
    for pair in question.near:
        if pair.how == "walk":
            _near(master, pair)
    zones = [(item, zone) for item in question.items for zone in item.zones if zone.trolley]
    if rules.trolley is not None and zones:
        parts = _trolley_parts(master, rules.trolley, trolley_parts)
        for item, zone in zones:
            _trolley_in(master, rules.trolley, master.zone_rect(item, zone), parts)


def _rect(master: Master, least: int) -> Sides:
    """A free rectangle with sides of at least so much."""
    b = master.question.room.bounds
    sides = [master.model.new_int_var(least, max(least, most), "") for most in (b.length_mm, b.width_mm)]
    return master.free_rect(*sides)


def _share(master: Master, one: Sides, other: Sides, length: int, width: int) -> Var:
    """A literal that is true only where two rectangles share a rectangle so long along x, so wide along y."""
    shared = master.model.new_bool_var("")
    for first, side in ((0, length), (2, width)):
        for a, b in ((one, other), (other, one)):
            master.model.add(a[first] + side <= b[first + 1]).only_enforce_if(shared)
    return shared


def _aisle(master: Master, others: Sequence[_Aisle]) -> _Aisle:
    """An aisle that shares a square with one of the others, and how far it is from there to an exit."""
    wide, longest = master.question.rules.escape_width_mm, master.question.rules.escape_longest_mm
    rect = _rect(master, wide)
    joined = [_share(master, rect, other.rect, wide, wide) for other in others]
    master.model.add_bool_or(joined)
    if longest is None:
        return _Aisle(rect)
    gate, far = _middle_in(master, rect, wide), master.model.new_int_var(0, 2 * longest, "")
    for literal, other in zip(joined, others, strict=True):
        _keep_middle_in(master, gate, other.rect, wide, literal)
        if other.gate is not None:
            master.model.add(far >= other.far + _legs(master, gate, other.gate)).only_enforce_if(literal)
    return _Aisle(rect, gate, far)


def _led_out(master: Master, item: Item, zone: Zone, ways: Sequence[_Aisle]) -> None:
    """From the middle of a standing place free floor leads into an aisle, no longer than a narrow way may be.

    Where there is a limit to an exit, the way goes over a point in both, to a square as wide as a way out in the aisle,
    and to the aisle's gate.
    """
    rules = master.question.rules
    wide = rules.service_width_mm if zone.kind == "service" else rules.access_width_mm
    widens = max(
        0, rules.escape_width_mm - wide
    )  # walked in the aisle until a way out's square fits, at most
    if widens > rules.narrow_longest_mm:
        wide, widens = rules.escape_width_mm, 0
    piece, name = _rect(master, wide), f"{item.id}.{zone.id}"
    _holds_middle(master, piece, name, wide)
    longest = rules.narrow_longest_mm - widens
    master.model.add(piece[1] - piece[0] + piece[3] - piece[2] <= 2 * wide + longest)
    joined = [_share(master, piece, way.rect, wide, wide) for way in ways]
    master.model.add_bool_or(joined)
    if rules.escape_longest_mm is None:
        return
    middle = master.middle(name, 0), master.middle(name, 1)
    door = _middle_in(master, piece, wide)
    for literal, way in zip(joined, ways, strict=True):
        assert way.gate is not None
        _keep_middle_in(master, door, way.rect, wide, literal)
    walked = _legs(master, middle, door) + 2 * widens
    for literal, way in zip(joined, ways, strict=True):
        on = _legs(master, door, way.gate or door)
        master.model.add(walked + on + way.far <= 2 * rules.escape_longest_mm).only_enforce_if(literal)


def _middle_in(master: Master, rect: Sides, wide: int) -> Point:
    """The middle of a square so wide somewhere in a rectangle [half mm]."""
    b = master.question.room.bounds
    x = master.model.new_int_var(2 * b.x_mm, 2 * b.right_mm, "")
    y = master.model.new_int_var(2 * b.y_mm, 2 * b.top_mm, "")
    _keep_middle_in(master, (x, y), rect, wide)
    return x, y


def _keep_middle_in(master: Master, middle: Point, rect: Sides, wide: int, where: Var | None = None) -> None:
    """A square so wide round a middle lies in a rectangle; only where a literal is true, if one is given."""
    for axis, at in enumerate(middle):
        for held in (2 * rect[2 * axis] + wide <= at, at <= 2 * rect[2 * axis + 1] - wide):
            said = master.model.add(held)
            if where is not None:
                said.only_enforce_if(where)


def _legs(master: Master, one: Point, other: Point) -> Var:
    """At least both legs between two points [half mm]."""
    b, legs = master.question.room.bounds, []
    for a, c, most in zip(one, other, (b.length_mm, b.width_mm), strict=True):
        leg = master.model.new_int_var(0, 2 * most, "")
        master.model.add(leg >= a - c)
        master.model.add(leg >= c - a)
        legs.append(leg)
    return sum(legs)


def _holds_middle(master: Master, rect: Sides, zone: str, wide: int) -> None:
    """A square so wide at the middle of a zone lies in a rectangle."""
    _keep_middle_in(master, (master.middle(zone, 0), master.middle(zone, 1)), rect, wide)


def _near(master: Master, pair: Near) -> None:
    """A walk over two free rectangles and a point that they share, no longer than it may be."""
    wide = master.question.rules.access_width_mm
    rects = [_rect(master, wide) for _ in range(2)]
    meet = _middle_in(master, rects[0], wide)
    _keep_middle_in(master, meet, rects[1], wide)
    legs = []
    for rect, end in zip(rects, (pair.a, pair.b), strict=True):
        _holds_middle(master, rect, end, wide)
        legs.append(_legs(master, meet, (master.middle(end, 0), master.middle(end, 1))))
    master.model.add(sum(legs) <= 2 * pair.longest_mm)


def _trolley_parts(master: Master, trolley: Trolley, count: int) -> list[_Part]:
    """Rectangles that the trolley moves about in, each joined to one before it by a box as it moves in both."""
    model = master.model
    boxes, turning = _boxes(trolley), turning_side(trolley)
    parts: list[_Part] = []
    for _ in range(count):
        rect = _rect(master, min(boxes[0]))
        lies, stands, turns = (model.new_bool_var("") for _ in range(3))
        model.add_bool_or([lies, stands])
        model.add_bool_or([turns, lies.negated(), stands.negated()])
        for moves, (x, y) in ((lies, boxes[0]), (stands, boxes[1]), (turns, (turning, turning))):
            model.add(rect[1] - rect[0] >= x).only_enforce_if(moves)
            model.add(rect[3] - rect[2] >= y).only_enforce_if(moves)
        if trolley.moves == "along":  # it keeps to one line but where it turns
            model.add(rect[3] - rect[2] == boxes[0][1]).only_enforce_if([lies, turns.negated()])
            model.add(rect[1] - rect[0] == boxes[1][0]).only_enforce_if([stands, turns.negated()])
        part = _Part(rect, (lies, stands))
        shared = []
        for other in parts:
            for here, there, (x, y) in zip(part.ways, other.ways, boxes, strict=True):
                joined = _share(master, rect, other.rect, x, y)
                model.add_implication(joined, here)
                model.add_implication(joined, there)
                shared.append(joined)
        if parts:
            model.add_bool_or(shared)
        parts.append(part)
    return parts


def _trolley_in(master: Master, trolley: Trolley, floor: Sides, parts: Sequence[_Part]) -> None:
    """In one of its rectangles the trolley has its middle in a zone."""
    model, found = master.model, []
    for part in parts:
        for moves, sides in zip(part.ways, _boxes(trolley), strict=True):
            here = model.new_bool_var("")
            model.add_implication(here, moves)
            for first, side in zip((0, 2), sides, strict=True):
                model.add(2 * part.rect[first] + side <= 2 * floor[first + 1]).only_enforce_if(here)
                model.add(2 * floor[first] <= 2 * part.rect[first + 1] - side).only_enforce_if(here)
            found.append(here)
    model.add_bool_or(found)


def _boxes(trolley: Trolley) -> tuple[tuple[int, int], tuple[int, int]]:
    """The trolley with its clearance along x and y, lying and standing."""
    long, wide = (side + 2 * trolley.clearance_mm for side in (trolley.length_mm, trolley.width_mm))
    return (long, wide), (wide, long)
