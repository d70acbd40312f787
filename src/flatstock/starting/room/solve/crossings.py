"""Whoever walks from one side of a line to the other crosses it: there a square of floor is free.

Lines across the room, a step apart, both ways. Where somebody stands beyond a line and every exit lies on this side of
it, the square that he walks with has its middle on the line somewhere; as wide as a way out where he stands so far
beyond it that the narrow part of his way has ended. Where the trolley must be on both sides of a line its box crosses
too, and where it lies in one of its zones and stands in another there is a square in which it turns. All of this holds
in every plan that passes, so a model that asks for it refuses none of those; and it refuses most plans in which things
stand as a barrier.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import isqrt

from flatstock.starting.room.question import Trolley, Zone
from flatstock.starting.room.solve.cpsat import Var
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.walls import exit_squares

__all__ = ["TrolleyBox", "cross_lines"]

STEP_MM = 450  #: between lines, at least
MOST_LINES = 20  #: each way
TrolleyBox = tuple[Sequence[Var], Var]  #: left, right, low, high of the box in a zone; whether it lies


def cross_lines(master: Master, boxes: Sequence[TrolleyBox]) -> None:
    """Ask for floor wherever people or the trolley cross a line; `boxes`: the trolley in each of its zones."""
    for axis, at in _lines(master):
        for ahead in (1, -1):
            _people(master, axis, at, ahead)
        if len(boxes) > 1:
            _trolley(master, axis, at, boxes)
    trolley = master.question.rules.trolley
    if trolley is not None and len(boxes) > 1:
        _turning(master, trolley, [lies for _, lies in boxes])


def _lines(master: Master) -> Iterator[tuple[int, int]]:
    """The axis that a line cuts, and where [mm]."""
    b = master.question.room.bounds
    for axis, start, length in ((0, b.x_mm, b.length_mm), (1, b.y_mm, b.width_mm)):
        step = max(STEP_MM, -(-length // MOST_LINES))
        for at in range(start + step, start + length, step):
            yield axis, at


def _people(master: Master, axis: int, at: int, ahead: int) -> None:
    """Where a standing place is beyond a line and all exits are `ahead` of it (1: at larger x or y)."""
    question, model = master.question, master.model
    rules, half = question.rules, question.rules.escape_width_mm
    exits = []
    for _, strip in exit_squares(question.room, rules):
        low, high = (strip.x_mm, strip.right_mm) if axis == 0 else (strip.y_mm, strip.top_mm)
        exits += [2 * low + half, 2 * high - half]
    if not exits or not all(ahead * (end - 2 * at) > 0 for end in exits):
        return
    widths = {
        "service": rules.service_width_mm,
        "work": rules.access_width_mm,
        "out": rules.escape_width_mm,
    }
    steps = sorted({width // 2 * 2 for width in widths.values()})
    needs = {width: model.new_bool_var("") for width in steps}  # a square at least so wide crosses here
    for less, more in pairwise(steps):
        model.add_implication(needs[more], needs[less])
    for item in question.items:
        for zone in item.zones:
            if zone.standing:
                off = ahead * (2 * at - master.middle(f"{item.id}.{zone.id}", axis))  # beyond by, half mm
                for width, most in ((_width(zone, widths), 0), (widths["out"], 2 * rules.narrow_longest_mm)):
                    _unless(master, off <= most, needs[width // 2 * 2])
    side = sum((wide - less) * needs[wide] for less, wide in pairwise([0, *steps]))
    square = master.free_rect(side, side)
    middle = square[2 * axis] + square[2 * axis + 1]
    model.add(middle == 2 * at).only_enforce_if(needs[steps[0]])


def _width(zone: Zone, widths: dict[str, int]) -> int:
    return widths["service" if zone.kind == "service" else "work"]


def _trolley(master: Master, axis: int, at: int, boxes: Sequence[TrolleyBox]) -> None:
    """Where the trolley's middle must be on both sides of a line, its box crosses it, lying or standing."""
    trolley, model = master.question.rules.trolley, master.model
    assert trolley is not None
    sides = [model.new_bool_var("") for _ in range(2)]
    for box, _ in boxes:
        off = box[2 * axis] + box[2 * axis + 1] - 2 * at
        _unless(master, off >= 0, sides[0])
        _unless(master, off <= 0, sides[1])
    crosses, lies = model.new_bool_var(""), model.new_bool_var("")
    model.add_bool_or([sides[0].negated(), sides[1].negated(), crosses])
    model.add_implication(lies, crosses)
    long, wide = (side // 2 * 2 for side in _box(trolley))
    box = master.free_rect(wide * crosses + (long - wide) * lies, long * crosses + (wide - long) * lies)
    model.add(box[2 * axis] + box[2 * axis + 1] == 2 * at).only_enforce_if(crosses)


def _turning(master: Master, trolley: Trolley, lies: Sequence[Var]) -> None:
    """The trolley lies in all of its zones, or stands in all of them, or turns somewhere."""
    turns = master.model.new_bool_var("")
    side = (
        isqrt(trolley.length_mm**2 + trolley.width_mm**2) + 2 * trolley.clearance_mm
    )  # no more than the disc
    master.free_rect(side * turns, side * turns)
    for one, other in pairwise(lies):
        master.model.add(one == other).only_enforce_if(turns.negated())


def _box(trolley: Trolley) -> tuple[int, int]:
    return trolley.length_mm + 2 * trolley.clearance_mm, trolley.width_mm + 2 * trolley.clearance_mm


def _unless(master: Master, held: Var, literal: Var) -> None:
    """Something holds, or the literal is true."""
    if not isinstance(held, bool):
        master.model.add(held).only_enforce_if(literal.negated())
    elif not held:
        master.model.add(literal == 1)
