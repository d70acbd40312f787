"""Blocks laid out by the room's own terms: rectangles kept apart, both legs between middles, CP-SAT behind one door.

What is not the room's: sides are free between limits where a machine has one size, as these rooms are 98.7 to 100 %
full and nothing fits them on a grid of sizes; and nobody walks round anything, as the sets count straight legs through
it. So neither the search nor the judge of rooms has a say.

The model is in whole parts of the sets' unit. Every edge of a true layout rounded down keeps the order of all edges, so
that layout is one of the model's as soon as sides and areas may be a part too small, and no leg is shorter there by
more than a part: the model's bound less one part a leg holds for the sets. What it finds is no layout yet; of each two
things it says which side of the other one lies on. With that the rest is convex, and linear programs with a tangent
more each time at the areas that are missed give the best sides and places to the last digit.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import ceil, floor, inf, log

import numpy as np
from scipy.optimize import linprog

from benchmarks.block_sets import Block, Layout
from flatstock.starting.room.solve.beside import Sides, keep_apart, legs
from flatstock.starting.room.solve.cpsat import Answer, Model, Var, new_model, solve

__all__ = ["LaidOut", "Placed", "lay_out"]

PARTS = 10_000  # of the sets' unit
TRIPS = 10  # the sets' flows have one digit after the point
A_TRY_S = 10.0  # [s] for one try at least
TANGENTS, SCALE = 17, 1000  # of each area; their slopes in thousandths
TIGHT = 1e-7  # share by which an area may be missed in the end
MOST_ROUNDS = 60
PROVEN = 1e-4  # share between cost and bound that ends it: limits of sides are published so finely
_EXACT = {"primal_feasibility_tolerance": 1e-10}

Placed = tuple[float, float, float, float]  #: left, right, low and high edge
Ways = dict[
    tuple[int, int], int
]  #: of two things, whether one is left of the other, right, below or above: 0 to 3


@dataclass(frozen=True, slots=True)
class LaidOut:
    """Where one search ended."""

    cost: float | None  #: of the best layout found
    places: tuple[Placed, ...]
    bound: float  #: no layout costs less


def lay_out(layout: Layout, *, seconds: float) -> LaidOut:
    """The cheapest layout that is found in the time, and what none is cheaper than.

    CP-SAT is asked again and again, each time without the ways that were met before: what is best in those is known.
    """
    until, blocks = time.monotonic() + seconds, _Blocks(layout)
    best, bound = LaidOut(None, (), 0.0), 0.0
    hint: Sequence[int] | None = None
    while (left := until - time.monotonic()) > 0:
        said = solve(blocks.model, seconds=min(left, max(A_TRY_S, left / 3)), hint=hint)
        if said.status == "impossible":
            bound = inf
            break
        bound = max(bound, blocks.bound(said.bound or 0.0))
        if best.cost is not None and bound >= best.cost * (1 - PROVEN):
            break
        if said.values is None:
            continue
        hint, ways = said.values, blocks.ways(said)
        fitted = _fitted(layout, ways)
        if fitted is not None and (best.cost is None or fitted[0] < best.cost):
            best = LaidOut(*fitted, 0.0)
            blocks.below(fitted[0])
        blocks.forbid(ways)
    return LaidOut(best.cost, best.places, min(bound, inf if best.cost is None else best.cost))


@dataclass(frozen=True, slots=True)
class _Rect:
    """A block of the model; its sides are variables of their own, or CP-SAT would not see that they are bounded."""

    edges: Sides
    sides: tuple[Var, Var]

    @property
    def middle(self) -> tuple[Var, Var]:
        """Twice the middle."""
        left, right, low, high = self.edges
        return left + right, low + high


class _Blocks:
    """The model of one layout."""

    def __init__(self, layout: Layout) -> None:
        self.layout, self.model = layout, new_model()
        self._most = floor(layout.length * PARTS + 1e-6), floor(layout.width * PARTS + 1e-6)
        self._rects = [_rect(self.model, block, self._most) for block in layout.blocks]
        self._legs = {
            (a, b): legs(
                self.model, self._rects[a].middle, self._rects[b].middle, [2 * m for m in self._most]
            )
            for a, b, _ in layout.flows
        }
        self._ways: dict[tuple[int, int], list[Var]] = {}
        for a, b in combinations(range(len(self._rects)), 2):
            self._beside(a, b)
        self._one_of_four_mirrored()
        self._given_away = 2 * sum(flow[2] for flow in layout.flows) / PARTS
        self._total = sum(round(c * TRIPS) * leg for a, b, c in layout.flows for leg in self._legs[a, b])
        self.model.minimize(self._total)

    def bound(self, value: float) -> float:
        """What no layout costs less than."""
        return value / (2 * PARTS * TRIPS) - self._given_away

    def below(self, cost: float) -> None:
        """Nothing that costs more is wanted: as a layout of the model none of those below it does."""
        self.model.add(self._total <= ceil((cost + self._given_away) * 2 * PARTS * TRIPS))

    def ways(self, said: Answer) -> Ways:
        """How the things of an answer lie to each other."""
        return {pair: [said(one) for one in four].index(1) for pair, four in self._ways.items()}

    def forbid(self, ways: Ways) -> None:
        """Not all of this at once."""
        self.model.add_bool_or([self._ways[pair][way].negated() for pair, way in ways.items()])

    def _beside(self, a: int, b: int) -> None:
        """One way is chosen for each two things; what lies beside each other is half of both apart in the middle."""
        four = self._ways[a, b] = keep_apart(self.model, self._rects[a].edges, self._rects[b].edges)
        self.model.add_exactly_one(four)
        both = self._legs.get((a, b)) or self._legs.get((b, a))
        for way, literal in enumerate(four if both else ()):
            axis = way // 2
            assert both is not None
            sides = self._rects[a].sides[axis] + self._rects[b].sides[axis]
            self.model.add(both[axis] >= sides).only_enforce_if(literal)

    def _one_of_four_mirrored(self) -> None:
        """Of a layout and its mirror images the one whose busiest thing lies in the lower left quarter."""
        busy = [sum(c for a, b, c in self.layout.flows if n in (a, b)) for n in range(len(self._rects))]
        for middle, most in zip(self._rects[busy.index(max(busy))].middle, self._most, strict=True):
            self.model.add(middle <= most)


def _rect(model: Model, block: Block, most: Sequence[int]) -> _Rect:
    """A rectangle that holds the block, and may be a part smaller along both sides."""
    edges, sides = list[Var](), list[Var]()
    for (least, longest), room in zip((block.length, block.width), most, strict=True):
        start, end = (model.new_int_var(0, room, "") for _ in range(2))
        side = model.new_int_var(floor(least * PARTS + 1e-6), min(room, ceil(longest * PARTS - 1e-6)), "")
        model.add(end == start + side)
        edges += [start, end]
        sides.append(side)
    length, width = sides
    grown = [model.new_int_var(1, room + 1, "") for room in most]
    for own, side in zip(grown, sides, strict=True):
        model.add(own == side + 1)
    area = model.new_int_var(floor(block.area * PARTS**2), (most[0] + 1) * (most[1] + 1), "")
    model.add_multiplication_equality(area, grown)
    for slope, other, rest in _tangents(block):
        own = ceil(slope * SCALE) * (length + 1) + ceil(other * SCALE) * (width + 1)
        model.add(own >= floor(rest * SCALE * PARTS))
    return _Rect(edges, (length, width))


def _tangents(block: Block) -> Iterator[tuple[float, float, float]]:
    """Lines under the curve of sides that make the area: so much of one side and of the other is at least the rest."""
    least, most = (log(side) for side in block.length)
    for at in np.exp(np.linspace(least, most, TANGENTS)):
        yield _tangent(block.area, float(at))


def _tangent(area: float, length: float) -> tuple[float, float, float]:
    return area / length, length, 2 * area


class _Linear:
    """Rows of a linear program: so much of some columns is at most a number."""

    def __init__(self, columns: int) -> None:
        self.columns, self.rows, self.most = columns, list[np.ndarray](), list[float]()

    def add(self, terms: Sequence[tuple[int, float]], most: float) -> None:
        """One row more."""
        row = np.zeros(self.columns)
        for column, factor in terms:
            row[column] += factor
        self.rows.append(row)
        self.most.append(most)


def _fitted(layout: Layout, ways: Ways) -> tuple[float, tuple[Placed, ...]] | None:
    """The cheapest layout whose things lie so to each other, and its cost; None: there is none."""
    count = len(layout.blocks)
    linear = _Linear(4 * count + 2 * len(layout.flows))
    cost = np.zeros(linear.columns)
    for n, (a, b, trips) in enumerate(layout.flows):
        for axis in (0, 1):
            leg = 4 * count + 2 * n + axis
            cost[leg] = trips
            for sign in (0.5, -0.5):
                ends = [(4 * a + 2 * axis + side, sign) for side in (0, 1)]
                ends += [(4 * b + 2 * axis + side, -sign) for side in (0, 1)]
                linear.add([*ends, (leg, -1.0)], 0.0)
    for (a, b), way in ways.items():
        less, more = (a, b) if way % 2 == 0 else (b, a)
        first = way // 2 * 2
        linear.add([(4 * less + first + 1, 1.0), (4 * more + first, -1.0)], 0.0)
    for n, block in enumerate(layout.blocks):
        for axis, (least, most) in enumerate((block.length, block.width)):
            side = [(4 * n + 2 * axis + 1, 1.0), (4 * n + 2 * axis, -1.0)]
            linear.add(side, most)
            linear.add([(column, -factor) for column, factor in side], -least)
        for tangent in _tangents(block):
            _above(linear, n, tangent)
    ends = [(0.0, layout.length)] * 2 + [(0.0, layout.width)] * 2
    bounds = ends * count + [(0.0, None)] * (2 * len(layout.flows))
    for _ in range(MOST_ROUNDS):
        said = linprog(
            cost, A_ub=np.array(linear.rows), b_ub=np.array(linear.most), bounds=bounds, options=_EXACT
        )
        if said.status != 0:
            return None
        edges = said.x[: 4 * count].reshape(count, 4)
        missed = False
        for n, (block, (left, right, low, high)) in enumerate(zip(layout.blocks, edges, strict=True)):
            length, width = right - left, high - low
            if length * width < block.area * (1 - TIGHT):
                missed = True
                _above(linear, n, _tangent(block.area, float((length * block.area / width) ** 0.5)))
        if not missed:
            return float(said.fun), tuple((float(p[0]), float(p[1]), float(p[2]), float(p[3])) for p in edges)
    raise ArithmeticError(f"areas of {layout.name} are still missed after {MOST_ROUNDS} rounds.")


def _above(linear: _Linear, n: int, tangent: tuple[float, float, float]) -> None:
    slope, other, rest = tangent
    linear.add([(4 * n + 1, -slope), (4 * n, slope), (4 * n + 3, -other), (4 * n + 2, other)], -rest)
