"""The floor-plan problem without walking, for CP-SAT: what it refuses can't be done, and no plan walks less.

Variables: for each item its place in steps of the grid and one literal a turn. Rectangles that must not overlap are
a choice of four sides. Walks are at least both legs between the middles of zones; what walking really takes comes in
as cuts, one after the other, each a statement about whole ranges of places that was proven by walking.

Straight gaps are round, and stand here by steps that never forbid more than the rule does; the judge has the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations
from math import isqrt

import numpy as np

from flatstock.starting.room.question import Flow, InLine, Item, Placement, Question, Zone, facing, split_zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.beside import keep_apart, legs
from flatstock.starting.room.solve.cpsat import Answer, Model, Var, domain, new_model
from flatstock.starting.room.solve.shapes import clashes
from flatstock.starting.room.solve.spots import Box, Spots
from flatstock.starting.room.walls import door_strip, outside

__all__ = ["SCALE", "Master"]

SCALE = 1000  #: trips are counted in thousandths, rounded down: bounds stay bounds
GAP_STEPS = 6


class _Spot:
    """The variables of one item."""

    def __init__(self, model: Model, spots: Spots, item: Item) -> None:
        self.item, self.shapes = item, spots.shapes[item.id]
        bounds, self.grid = spots.question.room.bounds, spots.question.grid_mm
        self.start = bounds.x_mm, bounds.y_mm
        name = item.id
        if item.placed is not None:
            self.x: Var = 0
            self.y: Var = 0
            self.start, self.grid = (item.placed.x_mm, item.placed.y_mm), 0
            self.turns: list[Var] = [1]
            return
        maps = [spots.alone(name, shape.turn) for shape in self.shapes]
        every_x = [np.nonzero(m.any(axis=1))[0].tolist() for m in maps]
        every_y = [np.nonzero(m.any(axis=0))[0].tolist() for m in maps]
        self.x = model.new_int_var_from_domain(
            domain(sorted({n for one in every_x for n in one}) or [0]), f"{name} x"
        )
        self.y = model.new_int_var_from_domain(
            domain(sorted({n for one in every_y for n in one}) or [0]), f"{name} y"
        )
        self.turns = [model.new_bool_var(f"{name} turned {shape.turn}") for shape in self.shapes]
        model.add_exactly_one(self.turns)
        for turn, xs, ys in zip(self.turns, every_x, every_y, strict=True):
            if not xs:
                model.add(turn == 0)
                continue
            model.add_linear_expression_in_domain(self.x, domain(xs)).only_enforce_if(turn)
            model.add_linear_expression_in_domain(self.y, domain(ys)).only_enforce_if(turn)

    def at(self, axis: int, offsets: Sequence[int]) -> Var:
        """A coordinate of something that lies so far from the corner in each turn [mm]."""
        place = self.start[axis] + self.grid * (self.y if axis else self.x)
        if len(set(offsets)) == 1:
            return place + offsets[0]
        return place + sum(offset * turn for offset, turn in zip(offsets, self.turns, strict=True))

    def twice(self, axis: int, offsets: Sequence[int]) -> Var:
        """Twice a coordinate, from offsets in half millimetres."""
        place = 2 * self.start[axis] + 2 * self.grid * (self.y if axis else self.x)
        if len(set(offsets)) == 1:
            return place + offsets[0]
        return place + sum(offset * turn for offset, turn in zip(offsets, self.turns, strict=True))

    def rect(self, rects: Sequence[Rect]) -> tuple[Var, Var, Var, Var]:
        """Left, right, low and high of a rectangle that lies so in each turn."""
        return (
            self.at(0, [r.x_mm for r in rects]),
            self.at(0, [r.right_mm for r in rects]),
            self.at(1, [r.y_mm for r in rects]),
            self.at(1, [r.top_mm for r in rects]),
        )


class Master:
    """The model of one question, all of whose items stand; cuts are added to it."""

    def __init__(self, question: Question, spots: Spots) -> None:
        self.question, self.spots = question, spots
        self.model = new_model()
        self._spot = {item.id: _Spot(self.model, spots, item) for item in question.items}
        self._limits: dict[tuple[str, int, int, bool], Var] = {}
        for spot in self._spot.values():
            if spot.item.placed is None:
                self._keep_in_room(spot)
        for a, b in combinations(self._spot.values(), 2):
            if a.item.placed is None or b.item.placed is None:
                self._keep_clear(a, b)
        for line in question.in_line:
            self._in_line(line)
        self._pairs()
        for item in question.items:
            if item.placed is None:
                for box in spots.nobody_gets_out(item.id):
                    self.cut([box])
        self._walks: dict[tuple[str, str], Var] = {}
        for pair in question.near:
            if pair.how == "walk":
                self.model.add(self.walk(pair.a, pair.b) <= 2 * pair.longest_mm)
        self.total = self._total()

    def walk(self, start: str, end: str) -> Var:
        """The walk between two zones' middles [half mm]: at least both legs."""
        key = (start, end) if start <= end else (end, start)
        if key not in self._walks:
            b = self.question.room.bounds
            ends = [(self.middle(zone, 0), self.middle(zone, 1)) for zone in key]
            both = legs(self.model, ends[0], ends[1], (2 * b.length_mm, 2 * b.width_mm))
            walk = self.model.new_int_var(0, 64 * (b.length_mm + b.width_mm), f"{key} walk")
            self.model.add(walk >= sum(both))
            self._walks[key] = walk
        return self._walks[key]

    def minimise(self) -> None:
        """Ask for the least walk."""
        self.model.minimize(self.total)

    def below(self, metres: float) -> None:
        """Nothing that walks so much or more is wanted [m/day]."""
        self.model.add(self.total < _scaled(metres))

    def at_least(self, metres: float, flows: Sequence[Flow] | None = None) -> None:
        """A bound proven elsewhere, on some flows or all [m/day]."""
        flows = self.question.flows if flows is None else flows
        kept = min((_trips(f) / (f.trips_per_day * SCALE) for f in flows if f.trips_per_day > 0), default=1.0)
        self.model.add(self._sum(flows) >= int(metres * 2000 * SCALE * min(1.0, kept) - 1e-6))

    def metres(self, value: float) -> float:
        """A value of the objective as metres a day."""
        return value / (2000 * SCALE)

    def walked(self, answer: Answer) -> dict[tuple[str, str], int]:
        """What an answer takes each walk to be [half mm]."""
        return {key: answer(walk) for key, walk in self._walks.items()}

    def where(self, answer: Answer) -> dict[str, Placement]:
        """The plan of an answer."""
        found = {}
        for name, spot in self._spot.items():
            turn = next(s.turn for s, t in zip(spot.shapes, spot.turns, strict=True) if answer(t))
            found[name] = Placement(
                x_mm=spot.start[0] + spot.grid * answer(spot.x),
                y_mm=spot.start[1] + spot.grid * answer(spot.y),
                turned_deg=turn,
            )
        return found

    def hint(self, where: dict[str, Placement]) -> list[tuple[Var, int]]:
        """A plan as values of the variables."""
        found: list[tuple[Var, int]] = []
        for name, spot in self._spot.items():
            if spot.grid and name in where:
                at = where[name]
                found.append((spot.x, (at.x_mm - spot.start[0]) // spot.grid))
                found.append((spot.y, (at.y_mm - spot.start[1]) // spot.grid))
                found += [
                    (t, int(s.turn == at.turned_deg)) for s, t in zip(spot.shapes, spot.turns, strict=True)
                ]
        return found

    def free_rect(self, length: Var, width: Var) -> tuple[Var, Var, Var, Var]:
        """A rectangle (left, right, low, high) anywhere in the room that no column and no thing stands on."""
        room, b = self.question.room, self.question.room.bounds
        x = self.model.new_int_var(b.x_mm, b.right_mm, "")
        y = self.model.new_int_var(b.y_mm, b.top_mm, "")
        rect = (x, x + length, y, y + width)
        self.model.add(rect[1] <= b.right_mm)
        self.model.add(rect[3] <= b.top_mm)
        for solid in (*outside(room), *(column.box for column in room.columns)):
            keep_apart(self.model, rect, _constant(solid))
        for spot in self._spot.values():
            keep_apart(self.model, rect, spot.rect([shape.box for shape in spot.shapes]))
        return rect

    def zone_rect(self, item: Item, zone: Zone) -> tuple[Var, Var, Var, Var]:
        """Left, right, low and high of a zone."""
        spot = self._spot[item.id]
        name = f"{item.id}.{zone.id}"
        return spot.rect([next(f.rect for f in s.floors if f.zone and f.name == name) for s in spot.shapes])

    def cut(self, boxes: Iterable[Box], walk: tuple[str, str, int] | None = None) -> None:
        """Not all of these at once; or, where they are, a walk is at least so long [half mm]."""
        clause: list[Var] = []
        for box in boxes:
            spot = self._spot[box.item]
            if not spot.grid:
                continue
            clause += [t for s, t in zip(spot.shapes, spot.turns, strict=True) if s.turn not in box.turns]
            for axis, (low, high) in enumerate((box.x, box.y)):
                clause.append(self._limit(box.item, axis, low - 1, below=True))
                clause.append(self._limit(box.item, axis, high + 1, below=False))
        if walk is not None:
            long = self.model.new_bool_var("")
            self.model.add(self.walk(walk[0], walk[1]) >= walk[2]).only_enforce_if(long)
            clause.append(long)
        self.model.add_bool_or(clause)

    def _limit(self, name: str, axis: int, limit: int, *, below: bool) -> Var:
        """A literal that is true only where a place is at most, or at least, a limit."""
        key = (name, axis, limit, below)
        if key not in self._limits:
            literal = self.model.new_bool_var("")
            place = self._spot[name].y if axis else self._spot[name].x
            one = self.model.add(place <= limit if below else place >= limit)
            one.only_enforce_if(literal)
            self._limits[key] = literal
        return self._limits[key]

    def _keep_in_room(self, spot: _Spot) -> None:
        question = self.question
        room, b = question.room, question.room.bounds
        item = spot.item
        reach = spot.rect([shape.reach for shape in spot.shapes])
        self.model.add(reach[0] >= b.x_mm)
        self.model.add(reach[1] <= b.right_mm)
        self.model.add(reach[2] >= b.y_mm)
        self.model.add(reach[3] <= b.top_mm)
        needs = None if item.height_mm is None else item.height_mm + item.head_room_mm
        low = [] if needs is None else [one.box for one in room.low if needs > one.height_mm]
        strips = [strip for d in room.doors if (strip := door_strip(room, d, question.rules)) is not None]
        out = outside(room)
        for solid in (*out, *strips, *low, *(column.box for column in room.columns)):
            keep_apart(self.model, spot.rect([shape.box for shape in spot.shapes]), _constant(solid))
        for n, floor in enumerate(spot.shapes[0].floors):
            for solid in (*out, *(c.box for c in room.columns if c.id not in floor.allow)):
                keep_apart(
                    self.model, spot.rect([shape.floors[n].rect for shape in spot.shapes]), _constant(solid)
                )

    def _keep_clear(self, a: _Spot, b: _Spot) -> None:
        every = [[clashes(one, other) for other in b.shapes] for one in a.shapes]
        for n in range(len(every[0][0])):
            own = a.rect([row[0][n][0] for row in every])
            other = b.rect([pairs[n][1] for pairs in every[0]])
            keep_apart(self.model, own, other)

    def _pairs(self) -> None:
        for a, b in combinations(self._spot.values(), 2):
            owed = self.spots.owed(a.item.id, b.item.id)
            if not owed.apart and owed.near is None:
                continue
            one, other = (s.rect([shape.box for shape in s.shapes]) for s in (a, b))
            for step in range(GAP_STEPS + 1) if owed.apart else ():
                # a straight gap of `apart` is none within x and y with x² + y² <= apart²
                x = owed.apart * step // GAP_STEPS
                keep_apart(self.model, one, other, (x, isqrt(owed.apart**2 - x**2)))
            if owed.near is not None:
                for first, last in ((0, 1), (2, 3)):
                    self.model.add(one[first] - other[last] <= owed.near)
                    self.model.add(other[first] - one[last] <= owed.near)

    def _in_line(self, line: InLine) -> None:
        a, b = self._spot[line.a], self._spot[line.b]
        box_a, box_b = (s.rect([shape.box for shape in s.shapes]) for s in (a, b))
        for shape_a, turn_a in zip(a.shapes, a.turns, strict=True):
            out = facing(line.side_a, shape_a.turn)
            for shape_b, turn_b in zip(b.shapes, b.turns, strict=True):
                both = [t for t in (turn_a, turn_b) if not isinstance(t, int)]
                if facing(line.side_b, shape_b.turn) != (-out[0], -out[1]):
                    self.model.add_bool_or([t.negated() for t in both])
                    continue
                self._facing(line, out, box_a, box_b, both)
        if line.via is None:
            return
        via = self._spot[line.via]
        box = via.rect([shape.box for shape in via.shapes])
        slack = 2 * max(line.offset_max_mm, self.question.grid_mm)
        for shape_a, turn_a in zip(a.shapes, a.turns, strict=True):
            on = [] if isinstance(turn_a, int) else [turn_a]
            out = facing(line.side_a, shape_a.turn)
            first = 0 if out[0] else 2
            lower, upper = (box_a, box_b) if sum(out) > 0 else (box_b, box_a)
            across = 2 - first
            held = [lower[first + 1] <= box[first], box[first + 1] <= upper[first]]
            for end in (box_a, box_b):
                miss = end[across] + end[across + 1] - box[across] - box[across + 1]
                held += [miss <= slack, -miss <= slack]
            self._all(held, on)

    def _facing(
        self, line: InLine, out: tuple[int, int], a: Sequence[Var], b: Sequence[Var], both: list[Var]
    ) -> None:
        first = 0 if out[0] else 2
        gap = b[first] - a[first + 1] if sum(out) > 0 else a[first] - b[first + 1]
        across = 2 - first
        miss = a[across] + a[across + 1] - b[across] - b[across + 1]
        limit = 2 * line.offset_max_mm
        self._all([gap >= line.gap_min_mm, gap <= line.gap_max_mm, miss <= limit, -miss <= limit], both)

    def _all(self, held: Iterable[Var], on: list[Var]) -> None:
        for one in held:
            if not isinstance(one, bool):
                self.model.add(one).only_enforce_if(on)
            elif not one:
                self.model.add_bool_or([t.negated() for t in on])

    def middle(self, zone: str, axis: int) -> Var:
        """Where the middle of a zone is along an axis [half mm]."""
        spot = self._spot[split_zone(zone)[0]]
        return spot.twice(axis, [shape.middles[zone][axis] for shape in spot.shapes])

    def _total(self) -> Var:
        return self._sum(self.question.flows)

    def _sum(self, flows: Iterable[Flow]) -> Var:
        return sum(_trips(flow) * self.walk(flow.start, flow.to) for flow in flows)


def _trips(flow: Flow) -> int:
    """Trips in the objective's thousandths, rounded down but for what floating point takes."""
    return int(flow.trips_per_day * SCALE + 1e-6)


def _scaled(metres: float) -> int:
    """Metres a day in the objective's unit, rounded up but for what floating point adds."""
    return -int(-metres * 2000 * SCALE + 1e-6)


def _constant(rect: Rect) -> tuple[int, int, int, int]:
    return rect.x_mm, rect.right_mm, rect.y_mm, rect.top_mm
