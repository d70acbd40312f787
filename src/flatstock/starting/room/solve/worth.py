"""How good each place looks for an item before anybody has walked: metres to its partners, floor that it uses up.

Guesses that only decide what is tried first. Floor is counted in cells of the grid.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.starting.room.question import Placement, Question, split_zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.shapes import Shape, moved
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.walls import outside

__all__ = ["Taste", "Worth"]

Numbers = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Taste:
    """What one attempt goes by."""

    walk: float = 1.0  #: per metre and day
    floor: float = 3.0  #: per square metre that nobody used yet
    wall: float = 1.0  #: per metre of a box's edge that leans on something


class Worth:
    """Looks at the places of one question's items."""

    def __init__(self, question: Question, spots: Spots) -> None:
        self._question, self._spots = question, spots
        self._shape = len(spots.xs), len(spots.ys)
        room = question.room
        self._empty = np.ones(self._shape, dtype=np.float64)
        for solid in (*outside(room), *(column.box for column in room.columns)):
            self._empty[self._cells(solid)] = 0.0
        self._edges: dict[tuple[int, int], Ints] = {}
        self._flows: dict[str, list[tuple[str, str, float]]] = {}
        for flow in question.flows:
            ends = split_zone(flow.start)[0], split_zone(flow.to)[0]
            if ends[0] != ends[1]:
                self._flows.setdefault(ends[0], []).append((flow.start, flow.to, flow.trips_per_day))
                self._flows.setdefault(ends[1], []).append((flow.to, flow.start, flow.trips_per_day))

    def partners(self, name: str) -> set[str]:
        """Items that people walk to from this one."""
        return {split_zone(to)[0] for _, to, _ in self._flows.get(name, ())}

    def floor(self, where: Mapping[str, Placement]) -> tuple[Numbers, Numbers]:
        """Sums from the corner of what is unused, and of what stands: tables for `of`."""
        unused, solid = self._empty.copy(), 1.0 - self._empty
        for name, at in where.items():
            shape = self._spots.shape[name, at.turned_deg]
            cells = self._cells(moved(shape.box, at.x_mm, at.y_mm))
            unused[cells] = 0.0
            solid[cells] = 1.0
            for floor in shape.floors:
                if floor.zone:
                    unused[self._cells(moved(floor.rect, at.x_mm, at.y_mm))] = 0.0
        return _summed(unused, around=0.0), _summed(solid, around=1.0)

    def of(
        self,
        shape: Shape,
        spots: tuple[Ints, Ints],
        where: Mapping[str, Placement],
        floor: tuple[Numbers, Numbers],
        taste: Taste,
    ) -> Numbers:
        """The lower, the better: one number for each of some places, (n,) indices along x and along y."""
        x, y = spots
        worth = np.zeros(len(x))
        for own, far, trips in self._flows.get(shape.item.id, ()):
            if split_zone(far)[0] in where:
                worth += (
                    taste.walk * trips / 2000 * self._legs(shape, own, self._spots.middle(far, where), x, y)
                )
        unused, solid = floor
        cell = self._question.grid_mm / 1000
        if taste.floor:
            for rect in (shape.box, *(f.rect for f in shape.floors if f.zone)):
                worth += taste.floor * cell * cell * self._sum(unused, rect, x, y)
        if taste.wall:
            g, box = self._question.grid_mm, shape.box
            grown = Rect(box.x_mm - g, box.y_mm - g, box.length_mm + 2 * g, box.width_mm + 2 * g)
            worth -= taste.wall * cell * self._sum(solid, grown, x, y)
        return worth

    def _legs(self, shape: Shape, zone: str, far: tuple[int, int], x: Ints, y: Ints) -> Ints:
        """Both legs from a zone at each place to a middle [half mm]."""
        at, spots = shape.middles[zone], self._spots
        return np.abs(2 * spots.xs[x] + (at[0] - far[0])) + np.abs(2 * spots.ys[y] + (at[1] - far[1]))

    def _cells(self, rect: Rect) -> tuple[slice, slice]:
        b, g = self._question.room.bounds, self._question.grid_mm
        x, y = rect.x_mm - b.x_mm, rect.y_mm - b.y_mm
        return (
            slice(max(x // g, 0), max(-(-(x + rect.length_mm) // g), 0)),
            slice(max(y // g, 0), max(-(-(y + rect.width_mm) // g), 0)),
        )

    def _sum(self, table: Numbers, own: Rect, x: Ints, y: Ints) -> Numbers:
        """What lies in a rectangle relative to each place; beyond the walls as the table's edge has it."""
        left, right = (self._edge(d, 0)[x] for d in (own.x_mm, own.right_mm))
        low, high = (self._edge(d, 1)[y] for d in (own.y_mm, own.top_mm))
        found: Numbers = table[right, high] - table[left, high] - table[right, low] + table[left, low]
        return found

    def _edge(self, offset: int, axis: int) -> Ints:
        """Where in a table an edge lies that is so far from each place along an axis."""
        found = self._edges.get((offset, axis))
        if found is None:
            count = self._shape[axis]
            found = np.clip(np.arange(count) + offset // self._question.grid_mm + 1, 0, count + 2)
            self._edges[offset, axis] = found
        return found


def _summed(cells: Numbers, *, around: float) -> Numbers:
    """Sums over all cells below and to the left, with a frame of one cell round the room."""
    framed = np.pad(cells, 1, constant_values=around)
    summed = np.zeros((framed.shape[0] + 1, framed.shape[1] + 1))
    summed[1:, 1:] = framed.cumsum(axis=0).cumsum(axis=1)
    return summed
