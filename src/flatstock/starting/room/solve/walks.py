"""Ways out, the trolley and the day's walks of a plan, fast enough to be asked for at every step of a search.

The same rules as `ways` and `trolley` judge by, over the points of a `Board`. What passes here is still judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import gcd, inf

from flatstock.starting.room.lines import around
from flatstock.starting.room.question import Item, Placement, Question
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.board import Board
from flatstock.starting.room.trolley import turning_side
from flatstock.starting.room.walls import exit_squares, outside

__all__ = ["Walks", "unit_for"]

Where = Mapping[str, Placement]
MOST_POINTS, MOST_LOOSE = 90_000, 40_000  # where a unit divides everything, and where none does
UNITS = (
    25,
    50,
    100,
    200,
)  # [mm]: the first that leaves no more points, where what divides everything is too fine


def unit_for(question: Question) -> tuple[int, bool]:
    """How far apart the points lie [mm], and whether walks over them are exact."""
    room, rules = question.room, question.rules
    b = room.bounds
    widths = [rules.access_width_mm, rules.service_width_mm, rules.escape_width_mm]
    twice = [2 * question.grid_mm, *widths]
    if rules.trolley is not None:
        twice += [
            side + 2 * rules.trolley.clearance_mm
            for side in (rules.trolley.length_mm, rules.trolley.width_mm)
        ]
    twice += [2 * (x - b.x_mm) for x, _ in room.outline_mm] + [2 * (y - b.y_mm) for _, y in room.outline_mm]
    walked = {end for flow in question.flows for end in (flow.start, flow.to)}
    solid = [column.box for column in room.columns]
    solid += [item.footprint(item.placed) for item in question.items if item.placed is not None]
    for rect in solid:
        twice += [2 * (rect.x_mm - b.x_mm), 2 * (rect.y_mm - b.y_mm), 2 * rect.length_mm, 2 * rect.width_mm]
    for item in question.items:
        twice += [2 * item.length_mm, 2 * item.width_mm]
        at = item.placed or Placement(x_mm=b.x_mm, y_mm=b.y_mm)
        for turn in (0, 90) if item.placed is None else (item.placed.turned_deg,):
            for zone in item.zones:
                if f"{item.id}.{zone.id}" in walked:
                    spot = Placement(x_mm=at.x_mm, y_mm=at.y_mm, turned_deg=turn)
                    x, y = item.zone_as_placed(zone, spot).centre_twice
                    twice += [x - 2 * b.x_mm, y - 2 * b.y_mm]
    for _, strip in exit_squares(room, rules):
        twice += [
            2 * (strip.x_mm - b.x_mm),
            2 * (strip.y_mm - b.y_mm),
            2 * strip.length_mm,
            2 * strip.width_mm,
        ]
    common = gcd(*twice) // 2
    if common and gcd(*twice) % 2 == 0 and _points(b, common) <= MOST_POINTS:
        return common, True
    unit = next((unit for unit in UNITS if _points(b, unit) <= MOST_LOOSE), UNITS[-1])
    return unit, bool(common) and gcd(*twice) % (2 * unit) == 0


def _points(bounds: Rect, unit: int) -> int:
    return (bounds.length_mm // unit + 2) * (bounds.width_mm // unit + 1)


MOST_KEPT = 4000  # places of things whose masks and zones are kept
# of the limit to an exit: where the bare room has such ways, machines may well make one too long
NEARLY = 0.9


class Walks:
    """Walks of one question's plans. Items that a plan leaves out are taken as not there."""

    def __init__(self, question: Question, *, surely: bool = False) -> None:
        self._question = question
        unit, self.exact = unit_for(question)
        rules = question.rules
        self.board = Board(question.room.bounds, unit, surely=surely)
        access, service, escape = rules.access_width_mm, rules.service_width_mm, rules.escape_width_mm
        self._boxes = [(access, access), (service, service), (escape, escape)]
        self.trolley = any(zone.trolley for item in question.items for zone in item.zones)
        if rules.trolley is None:
            self.trolley = False
        elif self.trolley:
            long, wide = (
                s + 2 * rules.trolley.clearance_mm for s in (rules.trolley.length_mm, rules.trolley.width_mm)
            )
            turning = turning_side(rules.trolley)
            self._boxes += [(long, wide), (wide, long), (turning, turning)]
        self._along = rules.trolley is not None and rules.trolley.moves == "along"
        bounds = question.room.bounds
        solids = [*(c.box for c in question.room.columns), *outside(question.room), *around(bounds)]
        self._bare = [self._without(self.board.full, solids, *box) for box in self._boxes]
        self._exits = 0
        for _, strip in exit_squares(question.room, rules):
            low = 2 * strip.x_mm + escape, 2 * strip.y_mm + escape
            high = 2 * strip.right_mm - escape, 2 * strip.top_mm - escape
            self._exits |= self.board.span(low, high)
        # a way over points that stand for whole squares may count more steps than it is long: then no limit is asked
        narrow, longest = rules.narrow_longest_mm, rules.escape_longest_mm
        loose = surely and not self.exact
        self._narrow = self.board.full.bit_length() if loose else narrow // unit
        self._longest = None if longest is None or loose else longest // unit
        reached, fronts = self.board.rings(self._exits, self._bare[2], self._longest)
        far = len(fronts) > NEARLY * self._longest if self._longest is not None else False
        self.far = far  #: the limit to an exit is so near that it is asked for at every step
        self._bare[2] &= reached
        self._points: dict[tuple[str, int, int, int], tuple[list[tuple[str, int, bool]], list[int]]] = {}
        self._masks: dict[tuple[str, int, int, int], list[int]] = {}
        self._flows: dict[str, list[tuple[str, float]]] = {}
        for flow in question.flows:
            self._flows.setdefault(flow.start, []).append((flow.to, flow.trips_per_day))
        self._near = [pair for pair in question.near if pair.how == "walk"]

    def free_of(self, boxes: Iterable[Rect], kinds: Sequence[int]) -> list[int]:
        """The free points among boxes, for some kinds."""
        solids = list(boxes)
        return [self._without(self._bare[n], solids, *self._boxes[n]) for n in kinds]

    def gets_out(self, points: int, narrow: int, wide: int) -> bool:
        """True where a way leads out from one of some points, over what is free to the zone's width and a way's."""
        return self._gets_out(points, narrow, self._way_out(wide, self._longest), self._longest)

    def free(self, where: Where) -> list[int]:
        """For each kind of box (access, service, escape, trolley lying, standing, turning) its free points."""
        free = list(self._bare)
        for name, at in where.items():
            for n, mask in enumerate(self._mask(name, at)):
                free[n] &= ~mask
        return free

    def open_floor(self, where: Where) -> tuple[int, int, int]:
        """Where somebody who stands gets out among what stands, at access and at service width; where the trolley gets.

        Whatever joins takes floor away, so it stands nowhere else.
        """
        free = self.free(where)
        access, service, escape = free[:3]
        out = self._way_out(escape, self._longest if self.far else None)[0]
        narrow = (out | self.board.rings(out, width, self._narrow)[0] for width in (access, service))
        return next(narrow) & access, next(narrow) & service, self._rolled(where, free)

    def _rolled(self, where: Where, free: list[int]) -> int:
        """Where the middle of the trolley gets, of the parts that hold all its zones so far."""
        if not self.trolley:
            return 0
        lying, standing, turning = free[3:]
        zones = self._trolley_zones(where)
        if not zones:
            return lying | standing
        left = zones[0] & lying, zones[0] & standing
        reached = 0
        while left[0] or left[1]:
            seed = (left[0] & -left[0], 0) if left[0] else (0, left[1] & -left[1])
            lie, stand = self._part(seed, lying, standing, turning)
            if all(zone & (lie | stand) for zone in zones):
                reached |= lie | stand
            left = left[0] & ~lie, left[1] & ~stand
        return reached

    def passes(self, where: Where, free: list[int] | None = None, *, roughly: bool = False) -> bool:
        """True where everybody gets out within the limits, and the trolley to each of its zones.

        `roughly`: the limit to an exit is asked for only where the bare room is nearly as long.
        """
        free = free or self.free(where)
        limited = not roughly or self.far
        return not self.shut_in(where, free, first=True, limited=limited) and self.rolls(where, free)

    def shut_in(
        self, where: Where, free: list[int], *, first: bool = False, limited: bool = True
    ) -> list[str]:
        """The zones that nobody gets out of; the first one alone where that is enough.

        Without `limited` a way out may be of any length.
        """
        access, service, escape = free[:3]
        places = list(self._standing(where))
        found = []
        for name, points, is_service in places:
            if not points & (service if is_service else access):
                found.append(name)
                if first:
                    return found
        longest = self._longest if limited else None
        out = self._way_out(escape, longest)
        for name, points, is_service in places:
            if name not in found and not self._gets_out(
                points, service if is_service else access, out, longest
            ):
                found.append(name)
                if first:
                    return found
        return found

    def _way_out(self, escape: int, longest: int | None) -> tuple[int, list[int]]:
        """From where a way leads out that is wide enough; with a limit also what is how many steps away."""
        if longest is None:
            return self.board.filled(self._exits, escape), []
        return self.board.rings(self._exits, escape, longest)

    def _gets_out(self, points: int, free: int, ways: tuple[int, list[int]], longest: int | None) -> bool:
        s, (out, fronts) = self.board.stride, ways
        front = points & free
        left = free ^ front
        for walked in range(self._narrow + 1):
            if longest is not None and walked > 0:
                if walked > longest:
                    return False
                if longest - walked + 1 < len(fronts):
                    out ^= fronts[longest - walked + 1]  # from there it would be one step too many by now
            if front & out:
                return True
            front = (front << 1 | front >> 1 | front << s | front >> s) & left
            if not front:
                return False
            left ^= front
        return False

    def rolls(self, where: Where, free: list[int]) -> bool:
        """True where the trolley gets from each of its zones to each."""
        return not self.trolley or self.joined(self._trolley_zones(where), free[3:])

    def joined(self, zones: list[int], free: Sequence[int]) -> bool:
        """True where one part of what a trolley reaches (lying, standing, turning) has points in every zone."""
        lying, standing, turning = free
        if not zones:
            return True
        left = zones[0] & lying, zones[0] & standing
        while left[0] or left[1]:
            seed = (left[0] & -left[0], 0) if left[0] else (0, left[1] & -left[1])
            lie, stand = self._part(seed, lying, standing, turning)
            if all(zone & (lie | stand) for zone in zones):
                return True
            left = left[0] & ~lie, left[1] & ~stand
        return False

    def _part(self, seed: tuple[int, int], lying: int, standing: int, turning: int) -> tuple[int, int]:
        """What the trolley reaches from a state, lying and standing."""
        fill, along = self.board.filled, self._along
        lie, stand = seed
        while True:
            if lie:
                lie = fill(lie, lying, along_y=not along)
            turned = lie & turning & standing & ~stand
            if stand or turned:
                stand = fill(stand | turned, standing, along_x=not along)
            back = stand & turning & lying & ~lie
            if not back:
                return lie, stand
            lie |= back

    def metres_a_day(self, where: Where, free: list[int] | None = None, most: float = inf) -> float | None:
        """What the flows walk a day [m]; infinite where one has no way, None where a `near` walk is too long.

        Stops at `most`, and then comes back with something over it.
        """
        access = (free or self.free(where))[0]
        for pair in self._near:
            if pair.a.rpartition(".")[0] in where and pair.b.rpartition(".")[0] in where:
                walk = self.between(pair.a, pair.b, where, access)
                if walk is None or walk > pair.longest_mm:
                    return None
        board, total = self.board, 0.0
        for start, ends in self._flows.items():
            there = [
                (to, trips)
                for to, trips in ends
                if start.rpartition(".")[0] in where and to.rpartition(".")[0] in where
            ]
            if not there:
                continue
            points = [board.point(self._middle(to, where)) for to, _ in there]
            found = board.steps(board.point(self._middle(start, where)), access, points)
            for (_, trips), steps in zip(there, found, strict=True):
                if steps is None:
                    return inf
                total += trips * steps * board.unit / 1000
            if total > most:
                return total
        return total

    def between(self, a: str, b: str, where: Where, access: int) -> int | None:
        """The walk between two zones' middles [mm]."""
        ends = [self.board.point(self._middle(b, where))]
        steps = self.board.steps(self.board.point(self._middle(a, where)), access, ends)[0]
        return None if steps is None else steps * self.board.unit

    def _middle(self, zone: str, where: Where) -> tuple[int, int]:
        item, of = self._question.zone_of(zone)
        return item.zone_as_placed(of, where[item.id]).centre_twice

    def _standing(self, where: Where) -> Iterable[tuple[str, int, bool]]:
        for item in self._question.items:
            if item.id in where:
                yield from self._zones(item, where[item.id])[0]

    def _trolley_zones(self, where: Where) -> list[int]:
        return [
            points
            for item in self._question.items
            if item.id in where
            for points in self._zones(item, where[item.id])[1]
        ]

    def _zones(self, item: Item, at: Placement) -> tuple[list[tuple[str, int, bool]], list[int]]:
        """Of an item: name, points beside the middle and whether for service of each standing zone; trolley zones."""
        key = (item.id, at.x_mm, at.y_mm, at.turned_deg)
        found = self._points.get(key)
        if found is None:
            standing: list[tuple[str, int, bool]] = []
            trolley: list[int] = []
            for zone in item.zones:
                rect = item.zone_as_placed(zone, at)
                if zone.standing:
                    points = self.board.beside(rect.centre_twice)
                    standing.append((f"{item.id}.{zone.id}", points, zone.kind == "service"))
                if zone.trolley:
                    trolley.append(self.board.within(rect))
            if len(self._points) > MOST_KEPT:
                self._points.clear()
            found = self._points[key] = standing, trolley
        return found

    def _mask(self, name: str, at: Placement) -> list[int]:
        key = (name, at.x_mm, at.y_mm, at.turned_deg)
        found = self._masks.get(key)
        if found is None:
            rect = self._question.by_id[name].footprint(at)
            found = [self.board.blocked(rect, *box) for box in self._boxes]
            if len(self._masks) > MOST_KEPT:
                self._masks.clear()
            self._masks[key] = found
        return found

    def _without(self, free: int, solids: Iterable[Rect], length: int, width: int) -> int:
        for solid in solids:
            free &= ~self.board.blocked(solid, length, width)
        return free
