"""Where an item may still be put: every place on the grid at once, exact in millimetres.

Boxes and zones only; who can walk where is asked elsewhere. Two rectangles that must not overlap forbid the
lower left corner of one of them an open rectangle of places, so a handful of rectangles is struck out of a map.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.starting.room.question import InLine, Item, Placement, Question, facing, split_zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.shapes import Shape, clashes, moved, shapes_of
from flatstock.starting.room.walls import door_strip, outside

__all__ = ["Box", "Flags", "Owed", "Spots", "Where"]

Flags = NDArray[np.bool_]
Where = Mapping[str, Placement]
MOST_BLOCKS = 40  # ranges that the model is told of for one item in one turn
MOST_KEPT = 60_000_000  # places in maps that are kept: bytes


@dataclass(frozen=True, slots=True)
class Owed:
    """What two items owe each other beside not standing in each other's way."""

    apart: int  #: [mm]; 0: nothing
    near: int | None  #: [mm]


@dataclass(frozen=True, slots=True)
class Box:
    """A range of places of one item, in steps of the grid, ends included."""

    item: str
    turns: tuple[int, ...]
    x: tuple[int, int]
    y: tuple[int, int]


class Spots:
    """The places of one question's items."""

    def __init__(self, question: Question) -> None:
        self.question = question
        b, g = question.room.bounds, question.grid_mm
        self.xs = b.x_mm + g * np.arange(b.length_mm // g + 1, dtype=np.int64)
        self.ys = b.y_mm + g * np.arange(b.width_mm // g + 1, dtype=np.int64)
        self.shapes: dict[str, tuple[Shape, ...]] = {
            item.id: shapes_of(question, item) for item in question.items
        }
        self.shape = {(name, s.turn): s for name, shapes in self.shapes.items() for s in shapes}
        self._owed = {
            (a.id, b.id): _owed(question, a, b) for a in question.items for b in question.items if a is not b
        }
        self._lines: dict[str, list[InLine]] = {}
        for line in question.in_line:
            for name in (line.a, line.b, *([line.via] if line.via else [])):
                self._lines.setdefault(name, []).append(line)
        self._ranges: dict[tuple[str, int, str, int, int, int], list[tuple[int, int, int, int]]] = {}
        self._kept: dict[tuple[str, int, str, int, int, int], Flags] = {}
        self._alone = {key: self._bare(shape) for key, shape in self.shape.items()}
        self._shut: dict[tuple[str, int], Flags] = {}
        self._near_walk = [(pair.a, pair.b, pair.longest_mm) for pair in question.near if pair.how == "walk"]

    def owed(self, one: str, other: str) -> Owed:
        """What two items owe each other."""
        return self._owed[one, other]

    def alone(self, name: str, turn: int) -> Flags:
        """Where an item may stand in an empty room; (nx, ny)."""
        return self._alone[name, turn]

    def strike(self, name: str, turn: int, ends: Flags) -> None:
        """Strike places of an item for good: all but `ends`."""
        flags = self._alone[name, turn]
        self._shut[name, turn] = flags & ~ends
        flags &= ends

    def shut_in(self, name: str) -> bool:
        """True where an item would have places, and all of them were struck for good."""
        return any(
            self._shut[name, s.turn].any() for s in self.shapes[name] if (name, s.turn) in self._shut
        ) and not any(self.alone(name, s.turn).any() for s in self.shapes[name])

    def nobody_gets_out(self, name: str) -> Iterator[Box]:
        """Ranges of places that were struck for good, as few as are easily found."""
        for shape in self.shapes[name]:
            shut = self._shut.get((name, shape.turn))
            if shut is not None and self._alone[name, shape.turn].any():
                for x, y in _blocks(shut, self._alone[name, shape.turn]):
                    yield Box(name, (shape.turn,), x, y)

    def free(self, name: str, where: Where) -> Iterator[tuple[Shape, Flags]]:
        """For each turn of an item where it may stand among what stands already; (nx, ny)."""
        for shape in self.shapes[name]:
            flags = self._alone[name, shape.turn].copy()
            for other, at in where.items():
                if other != name:
                    flags &= self._clear_of(shape, other, at)
            self._in_lines(flags, shape, where)
            self._near_walks(flags, shape, where)
            yield shape, flags

    def in_the_way(self, name: str, where: Where) -> Iterator[tuple[Shape, dict[str, Flags]]]:
        """For each turn of an item, where each thing that stands is not in its way; (nx, ny) each."""
        for shape in self.shapes[name]:
            found = {}
            for other, at in where.items():
                flags = self._alone[name, shape.turn] & self._clear_of(shape, other, at)
                self._in_lines(flags, shape, {other: at})
                self._near_walks(flags, shape, {other: at})
                found[other] = flags
            yield shape, found

    def at(self, i: int, j: int, turn: int) -> Placement:
        """The placement of a place of the map."""
        return Placement(x_mm=int(self.xs[i]), y_mm=int(self.ys[j]), turned_deg=turn)

    def _strike(self, flags: Flags, own: Rect, other: Rect) -> None:
        """Strike the places at which `own`, relative to the corner, would overlap `other`."""
        g, b = self.question.grid_mm, self.question.room.bounds
        left = max((other.x_mm - own.right_mm - b.x_mm) // g + 1, 0)
        right = -((b.x_mm - other.right_mm + own.x_mm) // g)
        low = max((other.y_mm - own.top_mm - b.y_mm) // g + 1, 0)
        high = -((b.y_mm - other.top_mm + own.y_mm) // g)
        if right > left and high > low:
            flags[left:right, low:high] = False

    def _bare(self, shape: Shape) -> Flags:
        question, item = self.question, shape.item
        room = question.room
        flags = np.full((len(self.xs), len(self.ys)), shape.stands, dtype=np.bool_)
        reach, b = shape.reach, room.bounds
        flags &= ((self.xs + reach.x_mm >= b.x_mm) & (self.xs + reach.right_mm <= b.right_mm))[:, None]
        flags &= ((self.ys + reach.y_mm >= b.y_mm) & (self.ys + reach.top_mm <= b.top_mm))[None, :]
        out = outside(room)
        strips = [strip for d in room.doors if (strip := door_strip(room, d, question.rules)) is not None]
        needs = None if item.height_mm is None else item.height_mm + item.head_room_mm
        if needs is not None and room.height_mm is not None and needs > room.height_mm:
            flags[:] = False
        low = [] if needs is None else [one.box for one in room.low if needs > one.height_mm]
        for solid in (*out, *strips, *low, *(column.box for column in room.columns)):
            self._strike(flags, shape.box, solid)
        for floor in shape.floors:
            for solid in (*out, *(c.box for c in room.columns if c.id not in floor.allow)):
                self._strike(flags, floor.rect, solid)
        return flags

    def _clear_of(self, shape: Shape, name: str, at: Placement) -> Flags:
        """Where an item is clear of another one that stands; kept, as most things stay where they are for long."""
        key = (shape.item.id, shape.turn, name, at.x_mm, at.y_mm, at.turned_deg)
        found = self._kept.get(key)
        if found is None:
            found = np.ones((len(self.xs), len(self.ys)), dtype=np.bool_)
            self._strike_pair(found, shape, self.shape[name, at.turned_deg], at)
            if len(self._kept) * found.size > MOST_KEPT:
                self._kept.clear()
            self._kept[key] = found
        return found

    def _strike_pair(self, flags: Flags, shape: Shape, other: Shape, at: Placement) -> None:
        mine, theirs = shape.item.id, other.item.id
        g, b = self.question.grid_mm, self.question.room.bounds
        (i, off_x), (j, off_y) = divmod(at.x_mm - b.x_mm, g), divmod(at.y_mm - b.y_mm, g)
        for left, right, low, high in self._struck(shape, other, off_x, off_y):
            flags[max(left + i, 0) : max(right + i, 0), max(low + j, 0) : max(high + j, 0)] = False
        box = moved(other.box, at.x_mm, at.y_mm)
        owed = self._owed[mine, theirs]
        if owed.apart or owed.near is not None:
            square = self._gap_squared(shape.box, box)
            if owed.apart:
                flags &= square >= owed.apart**2
            if owed.near is not None:
                flags &= square <= owed.near**2

    def _struck(self, shape: Shape, other: Shape, x: int, y: int) -> list[tuple[int, int, int, int]]:
        """Which places clash with another item `x`, `y` off the grid's first place, as ranges of steps."""
        key = (shape.item.id, shape.turn, other.item.id, other.turn, x, y)
        found = self._ranges.get(key)
        if found is None:
            g, ranges = self.question.grid_mm, set()
            for own, rect in clashes(shape, other):
                left, low = (rect.x_mm + x - own.right_mm) // g + 1, (rect.y_mm + y - own.top_mm) // g + 1
                right, high = -((own.x_mm - rect.right_mm - x) // g), -((own.y_mm - rect.top_mm - y) // g)
                if right > left and high > low:
                    ranges.add((left, right, low, high))
            found = [
                one
                for one in sorted(ranges)
                if not any(
                    o != one and o[0] <= one[0] and one[1] <= o[1] and o[2] <= one[2] and one[3] <= o[3]
                    for o in ranges
                )
            ]
            self._ranges[key] = found
        return found

    def _gap_squared(self, own: Rect, box: Rect) -> NDArray[np.int64]:
        """The straight gap to a box from each place, squared [mm2]; (nx, ny)."""
        x, y = self.xs + own.x_mm, self.ys + own.y_mm
        dx = np.maximum(np.maximum(box.x_mm - x - own.length_mm, x - box.right_mm), 0)
        dy = np.maximum(np.maximum(box.y_mm - y - own.width_mm, y - box.top_mm), 0)
        square: NDArray[np.int64] = dx[:, None] ** 2 + dy[None, :] ** 2
        return square

    def _near_walks(self, flags: Flags, shape: Shape, where: Where) -> None:
        """No walk is shorter than both its legs, so farther than the limit is too far."""
        for a, b, longest in self._near_walk:
            for own, far in ((a, b), (b, a)):
                other = split_zone(far)[0]
                if split_zone(own)[0] == shape.item.id and other in where and other != shape.item.id:
                    flags &= self.legs(shape, own, self.middle(far, where)) <= 2 * longest

    def middle(self, zone: str, where: Where) -> tuple[int, int]:
        """Twice the middle of a zone of something that stands."""
        at = where[split_zone(zone)[0]]
        x, y = self.shape[split_zone(zone)[0], at.turned_deg].middles[zone]
        return x + 2 * at.x_mm, y + 2 * at.y_mm

    def legs(self, shape: Shape, zone: str, far: tuple[int, int]) -> NDArray[np.int64]:
        """Both legs from a zone of an item at each place to a middle [half mm]; (nx, ny)."""
        x, y = shape.middles[zone]
        legs: NDArray[np.int64] = (
            np.abs(2 * self.xs + x - far[0])[:, None] + np.abs(2 * self.ys + y - far[1])[None, :]
        )
        return legs

    def _in_lines(self, flags: Flags, shape: Shape, where: Where) -> None:
        name = shape.item.id
        for line in self._lines.get(name, ()):
            if name in (line.a, line.b):
                other = line.b if name == line.a else line.a
                if other in where:
                    self._face(flags, shape, line, where[other])
                if line.via is not None and line.via in where:
                    self._beside_table(flags, shape, line, where[line.via])
            elif line.a in where and line.b in where:
                self._between(flags, shape, line, where)
            else:
                for end in (line.a, line.b):
                    if end in where:
                        self._table_beside(flags, shape, line, end, where[end])

    def _face(self, flags: Flags, shape: Shape, line: InLine, at: Placement) -> None:
        """One machine of a line opposite the other one."""
        is_a = shape.item.id == line.a
        side, far_side = (line.side_a, line.side_b) if is_a else (line.side_b, line.side_a)
        other = self.shape[line.b if is_a else line.a, at.turned_deg]
        out = facing(side, shape.turn)
        if facing(far_side, other.turn) != (-out[0], -out[1]):
            flags[:] = False
            return
        gap, off = self._ahead(shape.box, moved(other.box, at.x_mm, at.y_mm), out)
        self._keep(
            flags, out, (gap >= line.gap_min_mm) & (gap <= line.gap_max_mm), off <= 2 * line.offset_max_mm
        )

    def _beside_table(self, flags: Flags, shape: Shape, line: InLine, at: Placement) -> None:
        """A machine of a line whose table stands already, and the other machine not."""
        assert line.via is not None
        table = moved(self.shape[line.via, at.turned_deg].box, at.x_mm, at.y_mm)
        out = facing(line.side_a if shape.item.id == line.a else line.side_b, shape.turn)
        gap, off = self._ahead(shape.box, table, out)
        room = line.gap_max_mm - (table.length_mm if out[0] else table.width_mm)
        self._keep(flags, out, (gap >= 0) & (gap <= room), off <= 2 * self._slack(line))

    def _table_beside(self, flags: Flags, shape: Shape, line: InLine, end: str, at: Placement) -> None:
        """The table of a line of which one machine stands."""
        other = self.shape[end, at.turned_deg]
        out = facing(line.side_a if end == line.a else line.side_b, other.turn)
        gap, off = self._ahead(shape.box, moved(other.box, at.x_mm, at.y_mm), (-out[0], -out[1]))
        room = line.gap_max_mm - (shape.box.length_mm if out[0] else shape.box.width_mm)
        self._keep(flags, out, (gap >= 0) & (gap <= room), off <= 2 * self._slack(line))

    def _between(self, flags: Flags, shape: Shape, line: InLine, where: Where) -> None:
        """The table of a line of which both machines stand."""
        ends = {line.a: where[line.a], line.b: where[line.b]}
        for end, side in ((line.a, line.side_a), (line.b, line.side_b)):
            other = self.shape[end, ends[end].turned_deg]
            out = facing(side, other.turn)
            gap, off = self._ahead(
                shape.box, moved(other.box, ends[end].x_mm, ends[end].y_mm), (-out[0], -out[1])
            )
            self._keep(flags, out, gap >= 0, off <= 2 * self._slack(line))

    def _slack(self, line: InLine) -> int:
        return max(line.offset_max_mm, self.question.grid_mm)

    def _ahead(
        self, own: Rect, box: Rect, out: tuple[int, int]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """The gap from a side of the own box that looks `out` to a box, and twice the miss of their middles."""
        x, y = self.xs + own.x_mm, self.ys + own.y_mm
        gap = {
            (1, 0): box.x_mm - x - own.length_mm,
            (-1, 0): x - box.right_mm,
            (0, 1): box.y_mm - y - own.width_mm,
            (0, -1): y - box.top_mm,
        }[out]
        middle = box.centre_twice
        off = (
            np.abs(2 * y + own.width_mm - middle[1]) if out[0] else np.abs(2 * x + own.length_mm - middle[0])
        )
        return gap, off

    def _keep(self, flags: Flags, out: tuple[int, int], along: Flags, across: Flags) -> None:
        if out[0]:
            flags &= along[:, None] & across[None, :]
        else:
            flags &= across[:, None] & along[None, :]


def _owed(question: Question, a: Item, b: Item) -> Owed:
    both = {a.id, b.id}

    def ends(first: str, second: str) -> set[str]:
        return {n if n in question.by_id else split_zone(n)[0] for n in (first, second)}

    apart = [p.shortest_mm for p in question.apart if ends(p.a, p.b) == both]
    apart += [hot.hot_gap_mm for hot, cold in ((a, b), (b, a)) if cold.combustible]
    near = [p.longest_mm for p in question.near if p.how == "gap" and ends(p.a, p.b) == both]
    return Owed(max(apart, default=0), min(near, default=None))


def _blocks(wanted: Flags, never: Flags) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Rectangles that cover all of `wanted` and nothing of `never`, ends included; the largest of a few each time."""
    left = wanted.copy()
    for _ in range(MOST_BLOCKS):
        if not left.any():
            return
        i, j = (int(n) for n in np.argwhere(left)[0])
        x, y = [i, i], [j, j]
        for axis in (1, 0):  # as high as it goes, then as far to both sides
            for step in (1, -1):
                while True:
                    ends = y if axis else x
                    ahead = ends[1] + 1 if step > 0 else ends[0] - 1
                    if not 0 <= ahead < never.shape[axis]:
                        break
                    line = never[x[0] : x[1] + 1, ahead] if axis else never[ahead, y[0] : y[1] + 1]
                    if line.any():
                        break
                    ends[1 if step > 0 else 0] = ahead
        left[x[0] : x[1] + 1, y[0] : y[1] + 1] = False
        yield (x[0], x[1]), (y[0], y[1])
