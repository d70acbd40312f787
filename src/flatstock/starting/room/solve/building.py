"""Sets things down among what stands: each where it looks best, and what has no place yet still finds one if it can."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from random import Random

import numpy as np

from flatstock.starting.room.question import Placement, Question
from flatstock.starting.room.solve.hopeful import OpenFloor
from flatstock.starting.room.solve.rows import Row, places, rows_of
from flatstock.starting.room.solve.spots import Flags, Spots
from flatstock.starting.room.solve.walks import Walks
from flatstock.starting.room.solve.worth import Taste, Worth

__all__ = ["Builder"]

Where = dict[str, Placement]
ROWS_LOOKED_AT, ROW_PLACES = 24, 300  # ways that a line may stand, and places of each, that are weighed up
LINES_LOOKED_AT = 6  # of a thing that has others standing in line with it
LOOKED_AT = 16  # best places of an item that are walked through before it is given up


class Builder:
    """Sets the things of one question down; chance has a say, from `random`."""

    def __init__(self, question: Question, spots: Spots, walks: Walks, worth: Worth, random: Random) -> None:
        self._question, self._spots, self._walks, self._worth = question, spots, walks, worth
        self._random = random
        self.line: dict[str, set[str]] = {}  #: what stands in line with a thing, itself too
        for line in question.in_line:
            group = {line.a, line.b} | ({line.via} if line.via else set())
            for name in group:
                self.line.setdefault(name, set()).update(group)
        self._vias = {line.via for line in question.in_line}
        self._rows = {name: rows for rows in rows_of(question, spots) for name in rows[0]}
        self.looked = 0  #: plans whose walks were asked for

    def together(self, name: str, todo: Sequence[str]) -> list[str]:
        """A thing with what stands in line with it, the table last."""
        group = self.line.get(name, set())
        return [name, *sorted((n for n in todo if n in group and n != name), key=lambda n: n in self._vias)]

    def set_down(self, group: list[str], where: Where, taste: Taste, waiting: Sequence[str]) -> bool:
        """A thing set down with what stands in line with it: where what waits still fits, if there is such a place."""
        rows = self._rows.get(group[0])
        if rows is not None and len(rows[0]) == len(group):
            ways = self._row_ways(rows, where, taste)
        else:
            ways = self._ways(group, where, taste)
        other: Where | None = None
        for way in ways:
            more = {**where, **way}
            if all(self.fits(name, more) for name in waiting):
                hope = OpenFloor(self._spots, self._walks, more)
                if all(self.fits(name, more, hope) for name in waiting):
                    where.update(way)
                    return True
            other = other or way
        where.update(other or {})
        return other is not None

    def fits(self, name: str, where: Where, hope: OpenFloor | None = None) -> bool:
        """True where a thing has a place by boxes and zones."""
        for shape, flags in self._spots.free(name, where):
            if flags.any():
                if hope is not None:
                    hope.strike(flags, shape)
                if flags.any():
                    return True
        return False

    def _row_ways(self, rows: Sequence[Row], where: Where, taste: Taste) -> Iterator[Where]:
        """A whole line set down, where it looks best first."""
        some = self._random.sample(rows, min(len(rows), ROWS_LOOKED_AT))
        for _, number, i, j in sorted(self._row_places(some, where, taste))[:LOOKED_AT]:
            x, y = int(self._spots.xs[i]), int(self._spots.ys[j])
            row = {name: replace(at, x_mm=x + at.x_mm, y_mm=y + at.y_mm) for name, at in some[number].items()}
            self.looked += 1
            if self._walks.passes({**where, **row}, roughly=True):
                yield row

    def _row_places(
        self, rows: Sequence[Row], where: Where, taste: Taste
    ) -> Iterator[tuple[float, int, int, int]]:
        """Worth (the lower, the better), number of the row, and where its first thing's corner is on the grid."""
        hope = OpenFloor(self._spots, self._walks, where)
        free: dict[tuple[str, int], Flags] = {}
        for name in rows[0]:
            for shape, flags in self._spots.free(name, where):
                if flags.any():
                    hope.strike(flags, shape)
                free[name, shape.turn] = flags
        floor, grid = self._worth.floor(where), self._question.grid_mm
        noise = np.random.default_rng(self._random.getrandbits(32))
        for number, row in enumerate(rows):
            xs, ys = places(row, free, grid)
            if len(xs) > ROW_PLACES:
                chosen = noise.choice(len(xs), ROW_PLACES, replace=False)
                xs, ys = xs[chosen], ys[chosen]
            values = np.zeros(len(xs))
            for name, at in row.items():
                spots = xs + at.x_mm // grid, ys + at.y_mm // grid
                values += self._worth.of(self._spots.shape[name, at.turned_deg], spots, where, floor, taste)
            values += noise.random(len(values)) * 0.15 * (1 + np.abs(values))
            for n in np.argsort(values)[:LOOKED_AT]:
                yield float(values[n]), number, int(xs[n]), int(ys[n])

    def _ways(self, names: list[str], where: Where, taste: Taste) -> Iterator[Where]:
        """Things of one line set down one after the other, or a thing alone."""
        name, rest = names[0], names[1:]
        tries = LOOKED_AT if not rest else LINES_LOOKED_AT
        for n, at in enumerate(self._tried(name, where, taste)):
            if n >= tries:
                break
            more = {**where, name: at}
            self.looked += 1
            if not self._has_line(name, more) or not self._walks.passes(more, roughly=True):
                continue
            for way in self._ways(rest, more, taste) if rest else [{}]:
                yield {name: at, **way}

    def _has_line(self, name: str, where: Where) -> bool:
        """True where whatever stands in line with a thing still finds a place."""
        waiting = [n for n in self.line.get(name, ()) if n not in where]
        return all(self.fits(n, where) for n in waiting)

    def _tried(self, name: str, where: Where, taste: Taste) -> Iterator[Placement]:
        """The most promising places, then some at random."""
        floor = self._worth.floor(where)
        places: list[tuple[float, int, int, int]] = []
        noise = np.random.default_rng(self._random.getrandbits(32))
        hope = OpenFloor(self._spots, self._walks, where)
        for shape, flags in self._spots.free(name, where):
            if flags.any():
                hope.strike(flags, shape)
            if not flags.any():
                continue
            xs, ys = np.nonzero(flags)
            values = self._worth.of(shape, (xs, ys), where, floor, taste)
            values = values + noise.random(len(values)) * 0.15 * (1 + np.abs(values))
            count = min(len(values), LOOKED_AT)
            for n in np.argpartition(values, count - 1)[:count]:
                places.append((float(values[n]), int(xs[n]), int(ys[n]), shape.turn))
        places.sort()
        skipped: list[tuple[int, int, int]] = []
        tried = 0
        for _, i, j, turn in places:
            if tried >= LOOKED_AT:
                return
            if any(t == turn and abs(i - a) + abs(j - b) <= 1 for a, b, t in skipped):
                continue  # next to one that would not do
            skipped.append((i, j, turn))
            tried += 1
            yield self._spots.at(i, j, turn)
