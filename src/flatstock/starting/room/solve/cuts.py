"""Why a plan does not let people out, the trolley through, or walks so far: said of whole ranges of places.

A fault of walking stays when anything is taken away that it does not need, and it stays while each thing that it
does need moves, as long as the floor that the thing covers wherever it stands in its range is in the way enough. So
a plan that fails is first stripped of what is not to blame; then each of the rest is moved in all four directions
until the fault would go. What comes out forbids all those plans at once, and is proven: the floor that every place
of a range covers is solid, and the middles of zones are taken to be anywhere in theirs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from flatstock.starting.room.question import Item, Placement, Question, Zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.spots import Box, Spots
from flatstock.starting.room.solve.walks import Walks

__all__ = ["Cut", "Explainer", "Learnt", "exactly"]

Ranges = dict[str, Box]
Test = Callable[[Ranges], bool]
MOST_ZONES = 4  # faults of one plan that are explained
ACCESS, SERVICE, ESCAPE, TROLLEY = 0, 1, 2, (3, 4, 5)


@dataclass(frozen=True, slots=True)
class Cut:
    """Not all of these at once; or a walk that is at least so long where they are [half mm]."""

    boxes: tuple[Box, ...]
    walk: tuple[str, str, int] | None = None


class Learnt:
    """What was proven of one question, for all that ask about it or a part of it.

    A cut says what its own things do wherever the rest stands, so it holds in every question that has these things,
    this room and these rules: in the whole and in its parts alike.
    """

    def __init__(self) -> None:
        self._cuts: list[Cut] = []

    def add(self, cuts: Iterable[Cut]) -> None:
        """Take cuts in; two threads may do so at once."""
        self._cuts.extend(cuts)

    def since(self, number: int, question: Question) -> tuple[int, list[Cut]]:
        """How many there are by now, and those of them after the first `number` whose things are in a question."""
        fresh = self._cuts[number:]
        names = question.by_id
        return number + len(fresh), [cut for cut in fresh if all(box.item in names for box in cut.boxes)]


class Explainer:
    """Explains the faults of one question's plans."""

    def __init__(self, question: Question, spots: Spots) -> None:
        self._question, self._spots = question, spots
        self.walks = Walks(question, surely=True)

    def cuts(self, where: Mapping[str, Placement], walked: Mapping[tuple[str, str], int]) -> list[Cut]:
        """What forbids a plan; where nothing does, what its walks are at least [half mm]: longer than `walked`."""
        free = self.walks.free(where)
        found = [self._shut_in(where, zone) for zone in self.walks.shut_in(where, free)[:MOST_ZONES]]
        if not found and not self.walks.rolls(where, free):
            found.append(self._held_up(where))
        return found + self.longer(where, walked)

    def longer(self, where: Mapping[str, Placement], walked: Mapping[tuple[str, str], int]) -> list[Cut]:
        """What makes walks longer than `walked` [half mm], or leaves them no way; nothing where points are inexact."""
        if not self.walks.exact:
            return []
        access = self.walks.free(where)[ACCESS]
        found = []
        for (start, end), so_far in walked.items():
            walk = self.walks.between(start, end, where, access)
            if walk is None or 2 * walk > so_far:
                found.append(self._long(where, start, end, walk))
        return found

    def _shut_in(self, where: Mapping[str, Placement], name: str) -> Cut:
        item, zone = self._question.zone_of(name)
        narrow = SERVICE if zone.kind == "service" else ACCESS

        def stays(ranges: Ranges) -> bool:
            free = self.walks.free_of(self._cores(ranges), (narrow, ESCAPE))
            return not self.walks.gets_out(self._points(item, zone, ranges[item.id]), *free)

        return Cut(tuple(self._widened(self._stripped(where, stays, {item.id}), stays, {item.id}).values()))

    def _held_up(self, where: Mapping[str, Placement]) -> Cut:
        owners = {item.id for item in self._question.items if any(zone.trolley for zone in item.zones)}

        def stays(ranges: Ranges) -> bool:
            zones = [
                self._floor(item, zone, ranges[item.id])
                for item in self._question.items
                if item.id in ranges
                for zone in item.zones
                if zone.trolley
            ]
            return not self.walks.joined(zones, self.walks.free_of(self._cores(ranges), TROLLEY))

        return Cut(tuple(self._widened(self._stripped(where, stays, set()), stays, owners).values()))

    def _long(self, where: Mapping[str, Placement], start: str, end: str, walk: int | None) -> Cut:
        """What makes a walk as long as it is [mm]; None: what leaves it no way at all."""
        (a, zone_a), (b, zone_b) = self._question.zone_of(start), self._question.zone_of(end)
        most = None if walk is None else walk // self.walks.board.unit - 1

        def stays(ranges: Ranges) -> bool:
            free = self.walks.free_of(self._cores(ranges), (ACCESS,))[0]
            ends = [self._points(i, z, ranges[i.id]) for i, z in ((a, zone_a), (b, zone_b))]
            found = self.walks.board.steps(ends[0], free, [ends[1]], most=most)[0]
            return found is None

        owners = {a.id, b.id}
        ranges = self._widened(self._stripped(where, stays, owners), stays, owners)
        return Cut(tuple(ranges.values()), None if walk is None else (start, end, 2 * walk))

    def _stripped(self, where: Mapping[str, Placement], stays: Test, needed: set[str]) -> Ranges:
        """The plan without whatever the fault does not need, the farthest first."""
        ranges = {name: self._at(name, at) for name, at in where.items()}
        near = [at for name, at in where.items() if name in needed] or list(where.values())

        def far(name: str) -> int:
            at = where[name]
            return min(abs(at.x_mm - n.x_mm) + abs(at.y_mm - n.y_mm) for n in near)

        for name in sorted((n for n in where if n not in needed), key=far, reverse=True):
            fewer = {other: box for other, box in ranges.items() if other != name}
            if stays(fewer):
                ranges = fewer
        return ranges

    def _widened(self, ranges: Ranges, stays: Test, owners: set[str]) -> Ranges:
        """Each thing's range as far as the fault stays; where only the box counts, in all turns that lie alike."""
        for name in list(ranges):
            if self._question.by_id[name].placed is not None:
                continue
            for axis, up in ((0, False), (0, True), (1, False), (1, True)):
                ranges = self._pushed(ranges, name, stays, axis, up=up)
            if name not in owners:
                ranges[name] = replace(ranges[name], turns=self._alike(name, ranges[name].turns[0]))
        return ranges

    def _pushed(self, ranges: Ranges, name: str, stays: Test, axis: int, *, up: bool) -> Ranges:
        """The range of one thing pushed out at one end, in steps that double and then halve."""
        most = (len(self._spots.ys) if axis else len(self._spots.xs)) - 1
        box = ranges[name]
        low, high = box.y if axis else box.x
        room = most - high if up else low
        step, done = 1, 0
        growing = True
        while step and done < room:
            ahead = min(done + step, room)
            wider = (low, high + ahead) if up else (low - ahead, high)
            tried = ranges | {name: replace(box, y=wider) if axis else replace(box, x=wider)}
            if stays(tried):
                ranges, done = tried, ahead
                step = step * 2 if growing else step // 2
            else:
                growing = False
                step //= 2
        return ranges

    def _alike(self, name: str, turn: int) -> tuple[int, ...]:
        item = self._question.by_id[name]
        size = item.size(turn)
        return tuple(s.turn for s in self._spots.shapes[name] if item.size(s.turn) == size)

    def _at(self, name: str, at: Placement) -> Box:
        b, g = self._question.room.bounds, self._question.grid_mm
        if self._question.by_id[name].placed is not None:
            return Box(name, (at.turned_deg,), (0, 0), (0, 0))
        i, j = (at.x_mm - b.x_mm) // g, (at.y_mm - b.y_mm) // g
        return Box(name, (at.turned_deg,), (i, i), (j, j))

    def _cores(self, ranges: Ranges) -> Iterator[Rect]:
        """The floor that each thing covers wherever it stands in its range."""
        for box in ranges.values():
            item = self._question.by_id[box.item]
            first, last = self._ends(item, box)
            one, other = item.footprint(first), item.footprint(last)
            length, width = one.right_mm - other.x_mm, one.top_mm - other.y_mm
            if length > 0 and width > 0:
                yield Rect(other.x_mm, other.y_mm, length, width)

    def _ends(self, item: Item, box: Box) -> tuple[Placement, Placement]:
        if item.placed is not None:
            return item.placed, item.placed
        turn = box.turns[0]
        return self._spots.at(box.x[0], box.y[0], turn), self._spots.at(box.x[1], box.y[1], turn)

    def _points(self, item: Item, zone: Zone, box: Box) -> int:
        """Every point at which the middle of a zone may be."""
        first, last = (item.zone_as_placed(zone, at) for at in self._ends(item, box))
        return self.walks.board.span(first.centre_twice, last.centre_twice)

    def _floor(self, item: Item, zone: Zone, box: Box) -> int:
        """Every point that may lie in a zone."""
        first, last = (item.zone_as_placed(zone, at) for at in self._ends(item, box))
        return self.walks.board.between(
            (2 * first.x_mm, 2 * first.y_mm), (2 * last.right_mm, 2 * last.top_mm)
        )


def exactly(question: Question, found: Mapping[str, Placement], names: set[str]) -> list[Box]:
    """These things exactly where they stand."""
    b, g = question.room.bounds, question.grid_mm
    boxes = []
    for name in sorted(names):
        at = found[name]
        i, j = (at.x_mm - b.x_mm) // g, (at.y_mm - b.y_mm) // g
        boxes.append(Box(name, (at.turned_deg,), (i, i), (j, j)))
    return boxes
