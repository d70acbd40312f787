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


@dataclass(frozen=True, slots=True)
class _Part:
    """A rectangle that the trolley moves about in, and whether it does so lying, standing, or both and turns."""

    rect: Sides
    ways: tuple[Var, Var]


def ask_for_aisles(master: Master, *, aisles: int, trolley_parts: int) -> None:
    """Ask for at most so many aisles, and so many rectangles for the trolley."""
    question, rules = master.question, master.question.rules
    wide = rules.escape_width_mm
    ways = [_rect(master, wide) for _ in range(aisles)]
    exits = [(s.x_mm, s.right_mm, s.y_mm, s.top_mm) for _, s in exit_squares(question.room, rules)]
    _joined(master, ways[0], exits, wide)
    for n in range(1, aisles):
        _joined(master, ways[n], ways[:n], wide)
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


def _joined(master: Master, one: Sides, others: Sequence[Sides], wide: int) -> None:
    """A rectangle shares a square with one of the others."""
    master.model.add_bool_or([_share(master, one, other, wide, wide) for other in others])


def _led_out(master: Master, item: Item, zone: Zone, ways: Sequence[Sides]) -> None:
    """From the middle of a standing place free floor leads into an aisle, no longer than a narrow way may be."""
    rules = master.question.rules
    wide = rules.service_width_mm if zone.kind == "service" else rules.access_width_mm
    widens = max(
        0, rules.escape_width_mm - wide
    )  # walked in the aisle until a way out's square fits, at most
    if widens > rules.narrow_longest_mm:
        wide, widens = rules.escape_width_mm, 0
    piece = _rect(master, wide)
    _holds_middle(master, piece, f"{item.id}.{zone.id}", wide)
    longest = rules.narrow_longest_mm - widens
    master.model.add(piece[1] - piece[0] + piece[3] - piece[2] <= 2 * wide + longest)
    _joined(master, piece, ways, wide)


def _holds_middle(master: Master, rect: Sides, zone: str, wide: int) -> None:
    """A square so wide at the middle of a zone lies in a rectangle."""
    for axis in (0, 1):
        middle = master.middle(zone, axis)
        master.model.add(2 * rect[2 * axis] + wide <= middle)
        master.model.add(middle <= 2 * rect[2 * axis + 1] - wide)


def _near(master: Master, pair: Near) -> None:
    """A walk over two free rectangles and a point that they share, no longer than it may be."""
    model, b, wide = master.model, master.question.room.bounds, master.question.rules.access_width_mm
    rects = [_rect(master, wide) for _ in range(2)]
    legs = []
    for rect, end in zip(rects, (pair.a, pair.b), strict=True):
        _holds_middle(master, rect, end, wide)
    for axis, (low, high) in enumerate(((b.x_mm, b.right_mm), (b.y_mm, b.top_mm))):
        meet = model.new_int_var(2 * low, 2 * high, "")  # half mm
        for rect, end in zip(rects, (pair.a, pair.b), strict=True):
            model.add(2 * rect[2 * axis] + wide <= meet)
            model.add(meet <= 2 * rect[2 * axis + 1] - wide)
            leg = model.new_int_var(0, 2 * (high - low), "")
            model.add(leg >= meet - master.middle(end, axis))
            model.add(leg >= master.middle(end, axis) - meet)
            legs.append(leg)
    model.add(sum(legs) <= 2 * pair.longest_mm)


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
