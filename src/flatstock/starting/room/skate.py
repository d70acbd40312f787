"""The way of a machine on its skate from the door to its place, past what stands there before it comes.

It slides along either axis as it lies and turns by a quarter where the square of its diagonal is free: the rule
of the trolley, without clearance. What has no place yet is taken to come in afterwards. Riggers find ways that
this rule does not know; where it finds none somebody has to look, which is a warning and no fault.
"""

from __future__ import annotations

from collections.abc import Mapping

from flatstock.starting.room.lines import free_for, lines_for
from flatstock.starting.room.question import Door, Item, Placement, Question, Trolley
from flatstock.starting.room.trolley import Route, State, shortest, turning_side
from flatstock.starting.room.walls import inward
from flatstock.starting.room.ways import solids_of

__all__ = ["way_in"]


def way_in(question: Question, item: Item, at: Placement) -> Route | None:
    """From just inside the door that its `move_in` names to its place; None where there is none.

    Raises
    ------
    ValueError
        Nothing says which door it comes in by, or the door stands in no wall.
    """
    door = next(
        (d for d in question.room.doors if item.move_in is not None and d.id == item.move_in.door), None
    )
    into = None if door is None else inward(question.room, door)
    if door is None or into is None:
        raise ValueError(item.id)
    before: Mapping[str, Placement] = {
        other.id: other.placed
        for other in question.items
        if other.placed is not None and other.there and other.id != item.id
    }
    solids = solids_of(question, before)
    box = item.footprint(at)
    sizes = ((item.length_mm, item.width_mm), (item.width_mm, item.length_mm))
    turning = turning_side(Trolley(length_mm=item.length_mm, width_mm=item.width_mm))
    inside = [_inside(door, into, size) for size in sizes]
    points = [box.centre_twice, *(point for pair in inside for point in pair)]
    lines = lines_for(solids, [*sizes, (turning, turning)], points, question.room.bounds)
    maps = (free_for(lines, solids, *sizes[0]), free_for(lines, solids, *sizes[1]))
    turns = free_for(lines, solids, turning, turning).node
    starts: list[State] = []
    for way, ends in enumerate(inside):
        for low, high in zip(ends[::2], ends[1::2], strict=True):
            xs, ys = lines.within(low, high)
            starts += [(i, j, way) for i in range(xs.start, xs.stop) for j in range(ys.start, ys.stop)]
    goal = lines.node(box.centre_twice)
    as_placed = 0 if (box.length_mm, box.width_mm) == sizes[0] else 1
    goals = {(*goal, as_placed)} | ({(*goal, 1 - as_placed)} if sizes[0] == sizes[1] else set())
    return shortest(lines, maps, turns, starts, goals, along=False)


def _inside(door: Door, into: tuple[int, int], size: tuple[int, int]) -> list[tuple[int, int]]:
    """Both ends of where the middle of a box may be that has just come in, twice [mm]; empty: it is too wide."""
    upright = into[0] != 0
    across, along = (size[1], size[0]) if upright else size
    first, last = sorted((door.y1_mm, door.y2_mm) if upright else (door.x1_mm, door.x2_mm))
    spare = door.clear_width_mm - across
    if spare < 0:
        return []
    middle = first + last
    wall = 2 * (door.x1_mm if upright else door.y1_mm) + (into[0] or into[1]) * along
    ends = [(wall, middle - spare), (wall, middle + spare)]
    return ends if upright else [(y, x) for x, y in ends]
