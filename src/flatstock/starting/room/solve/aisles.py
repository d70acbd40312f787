"""Aisles asked for in the model: a few free rectangles in which people and the trolley get everywhere.

The first aisle ends at an exit, each other one joins one before it as widely as a way out, and from the middle of each
standing place a short piece of floor, as wide as somebody who works there needs, leads into one of them, or into a lane
that is only so wide and leads into an aisle or another lane; the trolley has such rectangles of its own. Whatever
stands so lets people out, but not every plan that passes has so few aisles: what this model refuses may well be, and
nothing is ever called impossible for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from flatstock.starting.room.question import Item, Near, Rules, Trolley, Zone
from flatstock.starting.room.solve.beside import Sides, legs
from flatstock.starting.room.solve.cpsat import Var
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.trolley import turning_side
from flatstock.starting.room.walls import exit_squares

__all__ = ["ask_for_aisles"]

Point = tuple[Var, Var]


@dataclass(frozen=True, slots=True)
class _Aisle:
    """A rectangle to walk in; with a limit to an exit also the point where it leaves for it, and how far it then is."""

    rect: Sides
    gate: Point | None = None  #: middle of a square as wide as a way out [half mm]
    far: Var = 0  #: at least [half mm]; an exit has none


@dataclass(frozen=True, slots=True)
class _Lane:
    """A rectangle as wide as a working place needs, the point where it is left, and how far it then is."""

    rect: Sides
    mouth: Point  #: middle of a square as wide as access in both [half mm]
    narrow: Var  #: at least so far from the mouth to a square as wide as a way out [half mm]
    far: Var  #: at least so far from there to an exit, where that has a limit [half mm]


@dataclass(frozen=True, slots=True)
class _Part:
    """A rectangle that the trolley moves about in, and whether it does so lying, standing, or both and turns."""

    rect: Sides
    ways: tuple[Var, Var]


def ask_for_aisles(
    master: Master, *, aisles: int, trolley_parts: int, lanes: int = 0, walk_parts: int = 2
) -> None:
    """Ask for at most so many aisles and lanes, rectangles for the trolley, and for each walk with a limit."""
    question, rules = master.question, master.question.rules
    exits = [_Aisle((s.x_mm, s.right_mm, s.y_mm, s.top_mm)) for _, s in exit_squares(question.room, rules)]
    ways: list[_Aisle] = []
    for n in range(aisles):
        ways.append(_aisle(master, ways if n else exits))
    narrow: list[_Lane] = []
    for _ in range(lanes):
        narrow.append(_lane(master, ways, narrow))
    for item in question.items:
        for zone in item.zones:
            if zone.standing:
                _led_out(master, item, zone, ways, narrow)
    for pair in question.near:
        if pair.how == "walk":
            _near(master, pair, walk_parts)
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


def _lane(master: Master, ways: Sequence[_Aisle], lanes: Sequence[_Lane]) -> _Lane:
    """A lane that leads into one of the aisles, or into another lane."""
    rules, model = master.question.rules, master.model
    wide, widens = _narrow(rules, rules.access_width_mm)
    rect, longest = _rect(master, wide), rules.escape_longest_mm
    mouth = _middle_in(master, rect, wide)
    narrow = model.new_int_var(2 * widens, 2 * rules.narrow_longest_mm, "")
    far: Var = 0 if longest is None else model.new_int_var(0, 2 * longest, "")
    into_way, into_lane = ([model.new_bool_var("") for _ in some] for some in (ways, lanes))
    model.add_bool_or([*into_way, *into_lane])
    for literal, way in zip(into_way, ways, strict=True):
        _keep_middle_in(master, mouth, way.rect, wide, literal)
        if way.gate is not None:
            on = 2 * widens + _legs(master, mouth, way.gate)
            model.add(far >= way.far + on).only_enforce_if(literal)
    for literal, lane in zip(into_lane, lanes, strict=True):
        _keep_middle_in(master, mouth, lane.rect, wide, literal)
        on = _legs(master, mouth, lane.mouth)
        model.add(narrow >= lane.narrow + on).only_enforce_if(literal)
        if longest is not None:
            model.add(far >= lane.far + on).only_enforce_if(literal)
    return _Lane(rect, mouth, narrow, far)


def _narrow(rules: Rules, wide: int) -> tuple[int, int]:
    """How wide a narrow way is, and how far it goes on in an aisle until a way out's square fits, at most [mm]."""
    widens = max(0, rules.escape_width_mm - wide)
    return (wide, widens) if widens <= rules.narrow_longest_mm else (rules.escape_width_mm, 0)


def _led_out(master: Master, item: Item, zone: Zone, ways: Sequence[_Aisle], lanes: Sequence[_Lane]) -> None:
    """From the middle of a standing place free floor leads into an aisle, no longer than a narrow way may be.

    Where there is a limit to an exit, the way goes over a point in both, to a square as wide as a way out in the aisle,
    and to the aisle's gate. Into a lane it goes over a point in both, and on to the lane's mouth.
    """
    rules, model = master.question.rules, master.model
    wide, widens = _narrow(rules, rules.service_width_mm if zone.kind == "service" else rules.access_width_mm)
    piece, name = _rect(master, wide), f"{item.id}.{zone.id}"
    _holds_middle(master, piece, name, wide)
    longest = rules.narrow_longest_mm - widens
    model.add(piece[1] - piece[0] + piece[3] - piece[2] <= 2 * wide + longest)
    joined = [_share(master, piece, way.rect, wide, wide) for way in ways]
    into = [model.new_bool_var("") for _ in lanes]
    model.add_bool_or([*joined, *into])
    far = rules.escape_longest_mm
    if far is None and not lanes:
        return
    door = _middle_in(master, piece, wide)
    walked = _legs(master, (master.middle(name, 0), master.middle(name, 1)), door)
    for literal, lane in zip(into, lanes, strict=True):
        _keep_middle_in(master, door, lane.rect, wide, literal)
        on = walked + _legs(master, door, lane.mouth)
        model.add(on + lane.narrow <= 2 * rules.narrow_longest_mm).only_enforce_if(literal)
        if far is not None:
            model.add(on + lane.far <= 2 * far).only_enforce_if(literal)
    for literal, way in zip(joined, ways, strict=True):
        if far is not None and way.gate is not None:
            _keep_middle_in(master, door, way.rect, wide, literal)
            on = walked + 2 * widens + _legs(master, door, way.gate)
            model.add(on + way.far <= 2 * far).only_enforce_if(literal)


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
    b = master.question.room.bounds
    return sum(legs(master.model, one, other, (2 * b.length_mm, 2 * b.width_mm)))


def _holds_middle(master: Master, rect: Sides, zone: str, wide: int) -> None:
    """A square so wide at the middle of a zone lies in a rectangle."""
    _keep_middle_in(master, (master.middle(zone, 0), master.middle(zone, 1)), rect, wide)


def _near(master: Master, pair: Near, count: int) -> None:
    """A walk over so many free rectangles, each sharing a point with the next one, no longer than it may be."""
    wide = master.question.rules.access_width_mm
    rects = [_rect(master, wide) for _ in range(count)]
    _holds_middle(master, rects[0], pair.a, wide)
    _holds_middle(master, rects[-1], pair.b, wide)
    points: list[Point] = [(master.middle(pair.a, 0), master.middle(pair.a, 1))]
    for one, other in pairwise(rects):
        points.append(_middle_in(master, one, wide))
        _keep_middle_in(master, points[-1], other, wide)
    points.append((master.middle(pair.b, 0), master.middle(pair.b, 1)))
    walked = [_legs(master, one, other) for one, other in pairwise(points)]
    master.model.add(sum(walked) <= 2 * pair.longest_mm)


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
