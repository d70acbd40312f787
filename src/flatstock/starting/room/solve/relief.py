"""What would make an impossible room possible, each tried: a plan was found, or it is not named."""

from __future__ import annotations

import time
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from math import ceil

from flatstock.starting.equipment import Necessity, Size, classes, equipment, sheet_mm
from flatstock.starting.room.answer import Help
from flatstock.starting.room.move_in import passage
from flatstock.starting.room.question import Door, Item, Placement, Question, Room
from flatstock.starting.room.solve.conflict import KnownPlans
from flatstock.starting.room.solve.first_looks import first_looks
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.parts import floor_mm2
from flatstock.starting.room.solve.race import race
from flatstock.starting.room.variants import without
from flatstock.starting.room.walls import exit_squares, walls_of
from flatstock.starting.room.words import metres

__all__ = ["Relief", "Try", "tries", "what_would_help"]

A_TRY_S, A_WALL_S = 1.2, 2.5  # [s]: a room with a wall further out is a whole room to be filled
ENOUGH = 5  # changes that help, after which no more are tried once it has taken long
MOST_LACKING, MOST_LEFT_OUT = 6, 4  # plans that lack a few things, named as what would help, and how few
AN_EXIT_MM, DOOR_STEP_MM = 1000, 100
FINE_MM = 50
SHORTER_MM = (400, 200)
SHORTEST_TABLE_MM = 600
WIDER_MM = (500, 200, 100)
SIDES = 4
OUTWARD_MM = (2000, 1000, 500, 200)
TWO_OUTWARD_MM = (4000, 2000, 1000)
#: how dear it is to do without: nothing is pressed without a press, whatever a wall costs
LEFT_OUT: dict[Necessity, int] = {
    "cannot_press": 10, "cannot_press_safely": 10, "cannot_sell": 7, "faster": 4, "nicer": 3,
}  # fmt: skip
ELSEWHERE = ("saw", "shredder")  # loud or dusty: best in a room of their own anyway


@dataclass(frozen=True, slots=True)
class Try:
    """A change, and how dear it is: 0 costs nothing, 9 a wall."""

    what: str
    question: Question
    cost: int
    kind: str  #: of several of one kind the smallest that helps is said
    without: bool = False  #: it is to do without something, or to have it elsewhere


class Relief:
    """Changes with which a plan is found for one question that has none; looking for them can be taken up again."""

    def __init__(
        self,
        question: Question,
        conflict: Sequence[str],
        *,
        known: KnownPlans | None = None,
        by_place: bool = False,
    ) -> None:
        """`known`: plans without some things, met already; plans that are found join them.

        `by_place`: it is where something stands that is in the way; only that is tried to be changed.
        """
        self._known = known
        self.stopped = False  #: by Ctrl-C
        lacking = known.lacking() if known is not None else []
        self._start = lacking[0][1] if lacking else None
        self._found = {one.kind: one for one in _left_out(question, lacking)}
        self._spent = set(self._found)
        self._left = iter(elsewhere(question, conflict) if by_place else tries(question, conflict))

    @property
    def helps(self) -> tuple[Help, ...]:
        """What helps, the cheapest first; of one kind the smallest that was found."""
        ranked = sorted(self._found.values(), key=lambda one: one.cost)
        return tuple(Help(what=one.what, proof="tried: a plan was found that passes") for one in ranked)

    @property
    def enough(self) -> bool:
        """True where several changes are known, not only what can be done without."""
        changes = [one for one in self._found.values() if not one.without]
        return len(self._found) >= ENOUGH and bool(changes)

    def look(self, until: float, *, till_enough: bool = False) -> None:
        """Try one change after the other, until the clock says `until` or all were tried; Ctrl-C ends it too."""
        while time.monotonic() < until and not (till_enough and self.enough):
            one = next(self._left, None)
            if one is None:
                return
            if one.kind in self._spent:
                continue
            wall = one.kind.endswith("wall")
            by = min(until, time.monotonic() + (A_WALL_S if wall else A_TRY_S))
            try:
                # a plan for less room is no help where there is more
                where = _plan(one.question, by, None if wall else self._start)
            except KeyboardInterrupt:
                self.stopped = True
                return
            if where is None:
                self._spent.add(one.kind)  # what comes next of this kind is smaller still
                continue
            self._found[one.kind] = one
            if self._known is not None:
                self._known.add(where)


def what_would_help(
    question: Question,
    conflict: Sequence[str],
    *,
    until: float,
    known: KnownPlans | None = None,
    by_place: bool = False,
) -> tuple[Help, ...]:
    """Changes with which a plan was found until the clock says `until`, as `Relief` has them."""
    relief = Relief(question, conflict, known=known, by_place=by_place)
    relief.look(until)
    return relief.helps


def _left_out(
    question: Question, lacking: Iterable[tuple[tuple[str, ...], Mapping[str, Placement]]]
) -> Iterator[Try]:
    """Plans that lack a few things, as changes: each of these need not be tried again."""
    few = [names for names, _ in lacking if len(names) <= MOST_LEFT_OUT]
    for names in few[:MOST_LACKING]:
        if len(names) == 1:
            yield _without(question, names[0])
            continue
        every = f"{', '.join(names[:-1])} and {names[-1]}"
        cost = sum(_without(question, name).cost for name in names)
        yield Try(f"without {every}", without(question, names), cost, every, without=True)


def _without(question: Question, name: str) -> Try:
    kind = question.by_id[name].kind
    loud = kind in ELSEWHERE
    what = f"{name} in another room" if loud else f"without {name}"
    cost = 2 if loud else LEFT_OUT[equipment(kind, "m").necessity] if kind in classes() else 4
    return Try(what, without(question, [name]), cost, what, without=True)


def elsewhere(question: Question, conflict: Collection[str]) -> Iterator[Try]:
    """What stands already, put down anew."""
    for item in question.items:
        if item.id in conflict and item.placed is not None:
            moved = tuple(
                replace(one, placed=None, tried=False) if one is item else one for one in question.items
            )
            what = f"{item.id} somewhere else"
            yield Try(what, replace(question, items=moved), 1, what)


def tries(question: Question, conflict: Collection[str]) -> Iterator[Try]:
    """Everything worth a try, what helps most often first; of one kind the largest change first.

    Doors and walls come before what is left out: a plan in a room that is much larger is found in a moment, while what
    fails takes its time to the end, and there is seldom time for everything. From then on both take turns.
    """
    yield from _ways_in(question, conflict)
    yield from _heights(question, conflict)
    yield from _wider_doors(question, conflict)
    yield from _another_exit(question)
    walls = list(_walls(question))
    yield from walls[:SIDES]
    yield from _two_walls(question)
    largest = sorted(question.items, key=lambda item: -floor_mm2(item))
    out = [
        _without(question, item.id)
        for item in sorted(largest, key=lambda item: item.kind not in ELSEWHERE)
        if item.id in conflict
    ]
    for one, other in zip_longest(out, [*_smaller_sheet(question), *walls[SIDES:]]):
        yield from (change for change in (one, other) if change is not None)
    yield from _shorter_tables(question, conflict)
    if question.grid_mm > FINE_MM:
        what = f"places by {FINE_MM} mm instead of {question.grid_mm} mm"
        yield Try(what, replace(question, grid_mm=FINE_MM), 0, what)


def _heights(question: Question, conflict: Collection[str]) -> Iterator[Try]:
    """Where a thing is too high: what hangs there out of its way, or another of its kind that is low enough."""
    room = question.room
    for item in question.items:
        if item.id not in conflict or item.height_mm is None:
            continue
        high = item.height_mm + item.head_room_mm
        tops = [low.height_mm for low in room.low if high > low.height_mm]
        for low in room.low:
            if low.height_mm < high <= (room.height_mm or high):
                lows = tuple(replace(one, height_mm=high) if one is low else one for one in room.low)
                what = f"{low.id} moved out of the way or {metres(high - low.height_mm)} further up"
                yield Try(what, replace(question, room=replace(room, low=lows)), 5, what)
        tops += [room.height_mm] if room.height_mm is not None and high > room.height_mm else []
        for top in sorted(tops, reverse=True):
            if top <= item.head_room_mm:
                continue
            lower = replace(item, height_mm=top - item.head_room_mm)
            items = tuple(lower if one is item else one for one in question.items)
            what = f"{'an' if item.id[:1] in 'AEIOU' else 'a'} {item.id} that needs {metres(top)} of height at most"
            yield Try(what, replace(question, items=items), 3, f"lower {item.id}")


def _ways_in(question: Question, conflict: Collection[str]) -> Iterator[Try]:
    """Where a machine does not come through its door: another door, tilted, a higher door, taken apart."""
    room = question.room
    for item in question.items:
        way, passed = item.move_in, passage(item, room)
        if way is None or passed is None or passed.passes or item.id not in conflict:
            continue
        for door in room.doors:
            if door.id != way.door:
                what, other = f"{item.id} in through {door.id}", replace(way, door=door.id)
                yield Try(what, _with_item(question, item, replace(item, move_in=other)), 1, what)
        if way.how == "upright":
            what = f"{item.id} tilted through {way.door}, if its maker gives leave"
            tilted = replace(item, move_in=replace(way, how="tilted"))
            yield Try(what, _with_item(question, item, tilted), 2, what)
        door = next(door for door in room.doors if door.id == way.door)
        if item.height_mm is None or door.clear_height_mm is None:
            continue
        short = item.height_mm + way.skate_mm - door.clear_height_mm
        if short > 0:
            by = -(-short // DOOR_STEP_MM) * DOOR_STEP_MM
            higher = replace(door, clear_height_mm=door.clear_height_mm + by)
            doors = tuple(higher if one is door else one for one in room.doors)
            what = f"{door.id} {metres(by)} higher"
            yield Try(what, replace(question, room=replace(room, doors=doors)), 5, what)
            most = door.clear_height_mm - way.skate_mm
            what = f"{item.id} taken apart for its way in, so that no part is higher than {metres(most)}"
            lower = replace(item, height_mm=most, move_in=replace(way, how="upright"))
            yield Try(what, _with_item(question, item, lower), 3, what)


def _with_item(question: Question, item: Item, other: Item) -> Question:
    return replace(question, items=tuple(other if one is item else one for one in question.items))


def _plan(
    question: Question, until: float, start: Mapping[str, Placement] | None
) -> Mapping[str, Placement] | None:
    """A plan that passes; None where none was found. Raises `KeyboardInterrupt` on Ctrl-C."""
    spots = open_spots(question)
    if first_looks(question, spots) is not None:
        return None
    out = race(question, spots, until=until, first=True, tight=True, proof=False, start=start)
    if out.stopped:
        raise KeyboardInterrupt
    return None if out.best is None else out.best.where


def _shorter_tables(question: Question, conflict: Collection[str]) -> Iterator[Try]:
    for line in question.in_line:
        if line.via is None or not {line.a, line.b, line.via} & set(conflict):
            continue
        table = question.by_id[line.via]
        for by in SHORTER_MM:
            if table.length_mm - by < SHORTEST_TABLE_MM or table.placed is not None:
                continue
            short = replace(table, length_mm=table.length_mm - by)
            near = replace(line, gap_min_mm=max(0, line.gap_min_mm - by))
            changed = replace(
                question,
                items=tuple(short if item is table else item for item in question.items),
                in_line=tuple(near if other is line else other for other in question.in_line),
            )
            yield Try(f"{line.via} {metres(by)} shorter", changed, 1, f"shorter {line.via}")


def _smaller_sheet(question: Question) -> Iterator[Try]:
    """Every machine of a class at the next smaller sheet, where that makes it smaller."""
    sizes: tuple[Size, ...] = ("s", "m")
    for size in sizes:
        items = tuple(_smaller(item, size) for item in question.items)
        if items == question.items:
            continue
        length, width = (metres(side) for side in sheet_mm(size))
        what = f"a smaller sheet of {length} x {width}, on machines as is typical for it"
        yield Try(what, replace(question, items=items), 6, "smaller sheet")


def _smaller(item: Item, size: Size) -> Item:
    if item.kind not in classes() or item.placed is not None:
        return item
    numbers = equipment(item.kind, size).numbers
    if "length_mm" not in numbers or "width_mm" not in numbers:
        return item
    length, width = ceil(numbers["length_mm"].value), ceil(numbers["width_mm"].value)
    if length >= item.length_mm and width >= item.width_mm:
        return item
    typical = {zone.id: zone for zone in equipment(item.kind, size).zones}
    zones = []
    for zone in item.zones:
        at = next((t for t in typical.values() if t.side == zone.side and t.kind == zone.kind), None)
        depth = min(zone.depth_mm, at.depth_mm) if at is not None else zone.depth_mm
        zones.append(replace(zone, depth_mm=depth))
    return replace(
        item, length_mm=min(length, item.length_mm), width_mm=min(width, item.width_mm), zones=tuple(zones)
    )


def _wider_doors(question: Question, conflict: Collection[str]) -> Iterator[Try]:
    """A door that is named, or any exit where there is none wide enough."""
    shut = not exit_squares(question.room, question.rules)
    for door in question.room.doors:
        if door.id not in conflict and not (shut and door.exit):
            continue
        for by in WIDER_MM:
            doors = tuple(_wider(one, by) if one is door else one for one in question.room.doors)
            wider = replace(question, room=replace(question.room, doors=doors))
            yield Try(f"{door.id} {metres(by)} wider", wider, 5, f"wider {door.id}")


def _another_exit(question: Question) -> Iterator[Try]:
    """Where ways out are too long, or there is none: an exit in the middle of each outermost wall, the longest one."""
    room, rules = question.room, question.rules
    if rules.escape_longest_mm is None and exit_squares(room, rules):
        return
    wide, b = max(AN_EXIT_MM, rules.escape_width_mm), room.bounds
    for word, axis, edge in (
        ("left", 0, b.x_mm), ("right", 0, b.right_mm), ("lower", 1, b.y_mm), ("upper", 1, b.top_mm),
    ):  # fmt: skip
        ends = [
            sorted((wall[1 - axis], wall[3 - axis]))
            for wall in walls_of(room)
            if wall[axis] == wall[axis + 2] == edge
        ]
        low, high = max(ends, key=lambda one: one[1] - one[0])
        if high - low < wide:
            continue
        start = low + (high - low - wide) // 2 // question.grid_mm * question.grid_mm
        (x1, y1), (x2, y2) = ((edge, at) if axis == 0 else (at, edge) for at in (start, start + wide))
        door = Door(id=f"exit {word}", x1_mm=x1, y1_mm=y1, x2_mm=x2, y2_mm=y2, clear_width_mm=wide, exit=True)
        what = f"another exit, {metres(wide)} wide, in the middle of the {word} wall"
        yield Try(what, replace(question, room=replace(room, doors=(*room.doors, door))), 6, what)


def _wider(door: Door, by: int) -> Door:
    """The door with so much more clear width, and its opening longer at its far end where it is too short."""
    opening = abs(door.x2_mm - door.x1_mm) + abs(door.y2_mm - door.y1_mm)
    more = max(0, door.clear_width_mm + by - opening)
    (x1, y1), (x2, y2) = sorted([(door.x1_mm, door.y1_mm), (door.x2_mm, door.y2_mm)])
    longer = (x2 + more, y2) if y1 == y2 else (x2, y2 + more)
    return replace(
        door, x1_mm=x1, y1_mm=y1, x2_mm=longer[0], y2_mm=longer[1], clear_width_mm=door.clear_width_mm + by
    )


def _walls(question: Question) -> Iterator[Try]:
    for by in OUTWARD_MM:
        for word, axis, side in (("right", 0, 1), ("upper", 1, 1), ("left", 0, -1), ("lower", 1, -1)):
            by_grid = -(-by // question.grid_mm) * question.grid_mm
            moved = replace(question, room=_pushed(question.room, axis, side * by_grid))
            yield Try(
                f"the {word} wall {metres(by_grid)} further out", moved, 8 if by <= 500 else 9, f"{word} wall"
            )


def _two_walls(question: Question) -> Iterator[Try]:
    """A room that is larger both ways, where one wall is not enough."""
    for by in TWO_OUTWARD_MM:
        by_grid = -(-by // question.grid_mm) * question.grid_mm
        room = _pushed(_pushed(question.room, 0, by_grid), 1, by_grid)
        what = f"the right and the upper wall each {metres(by_grid)} further out"
        yield Try(what, replace(question, room=room), 9, "right and upper wall")


def _pushed(room: Room, axis: int, by: int) -> Room:
    """The room with its outermost wall on one side pushed outward."""
    edge = (max if by > 0 else min)(corner[axis] for corner in room.outline_mm)

    def corner(x: int, y: int) -> tuple[int, int]:
        place = [x, y]
        if place[axis] == edge:
            place[axis] += by
        return place[0], place[1]

    def door(one: Door) -> Door:
        ends = (one.x1_mm, one.y1_mm), (one.x2_mm, one.y2_mm)
        if not all(end[axis] == edge for end in ends):
            return one
        (x1, y1), (x2, y2) = (corner(*end) for end in ends)
        return replace(one, x1_mm=x1, y1_mm=y1, x2_mm=x2, y2_mm=y2)

    return replace(
        room,
        outline_mm=tuple(corner(x, y) for x, y in room.outline_mm),
        written_mm=None,
        doors=tuple(door(one) for one in room.doors),
    )
