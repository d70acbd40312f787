"""Many columns that differ in their inputs, marched side by side: what a band is made from.

Columns share the layout of `pile.lay_out`; each has its own row of every input that varies. `lane_march` marches
several at once on each processor; threads work because it releases the interpreter's lock.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from math import inf
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from flatstock.heat import steering as s
from flatstock.heat.bounds import check_columns, check_layout, check_part, check_shape, check_watched
from flatstock.heat.lane_march import LATEST, LOW_BOTTOM, REACHED, RESULTS, march_lanes, room_to_work
from flatstock.heat.lanes import WIDTH
from flatstock.heat.laws import TABLE_NODES, TABLE_RATE
from flatstock.heat.pile import Arrays
from flatstock.heat.rates import SENSOR

__all__ = ["BAND_NODES", "Cycles", "Varied", "check_varied", "cold_rows", "hot_cycles", "in_threads"]

Array = NDArray[np.float64]
Answer = TypeVar("Answer")
#: of the table of a band's column; 256 instead of 1024 move a band's ends by under 0.1 %
BAND_NODES = 256


@dataclass(frozen=True, slots=True, eq=False)
class Varied:
    """What differs between B columns of one layout of n cells, shapes as in `march.march`.

    polymers (B, p, ROW), joints (B, 5, n-1), ends (B, 2, 7), heaters (B, 2, 8), edge (B,): factor on the
    edge film. Kinds of joints and ends and places of sensors are those of the first column.
    """

    polymers: Array
    joints: Array
    ends: Array
    heaters: Array
    edge: Array

    @property
    def count(self) -> int:
        """Number of columns."""
        return len(self.edge)


@dataclass(frozen=True, slots=True, eq=False)
class Cycles:
    """Results of B press cycles; nan where something was not reached.

    melt, latest (B,): seconds from loading, `latest` may lie before `melt`; lowest (B, 2): of each sensor
    [°C]; energy (B, g): heater energy at the instants of the grid [J/m2].
    """

    melt: Array
    latest: Array
    lowest: Array
    energy: Array

    def part(self, first: int, last: int) -> Cycles:
        """Those of some columns."""
        return Cycles(
            self.melt[first:last], self.latest[first:last], self.lowest[first:last], self.energy[first:last]
        )


def check_varied(layout: Arrays, varied: Varied) -> None:
    """Refuse columns that are not of this layout, before compiled code looks up anything in them: `IndexError`."""
    check_shape("edge", varied.edge, len(varied.polymers))
    check_columns(
        layout.kind, layout.memory, joints=varied.joints, polymers=varied.polymers, ends=varied.ends,
        heaters=varied.heaters,
    )  # fmt: skip
    check_layout(layout.kind, layout.memory, layout.cells, layout.sheets, plastics=varied.polymers.shape[1])


def in_threads(count: int, work: Callable[[int, int], Answer]) -> list[Answer]:
    """`work(first, last)` for consecutive parts of `count` columns, one part a processor; the answers in order."""
    workers = max(1, min(os.cpu_count() or 1, -(-count // WIDTH)))
    if workers == 1:
        return [work(0, count)]
    cuts = np.linspace(0, count, workers + 1).astype(int)
    with ThreadPoolExecutor(workers) as pool:
        return list(pool.map(work, cuts[:-1].tolist(), cuts[1:].tolist()))


@dataclass(frozen=True, slots=True, eq=False)
class _Columns:
    """A layout and what varies, as the march takes them. Raises `IndexError` where they don't belong together."""

    layout: Arrays
    varied: Varied

    def __post_init__(self) -> None:
        check_varied(self.layout, self.varied)

    @classmethod
    def of(cls, layout: Arrays, varied: Varied) -> _Columns:
        """With tables of a band's length."""
        polymers = varied.polymers.copy()
        polymers[:, :, TABLE_RATE] *= (BAND_NODES - 1.0) / (TABLE_NODES - 1.0)
        others = (np.ascontiguousarray(x) for x in (varied.joints, varied.ends, varied.heaters, varied.edge))
        return cls(layout, Varied(polymers, *others))

    @property
    def start(self) -> Array:
        """The layout's temperatures, once a column (B, n) [°C]."""
        return np.repeat(self.layout.temperature[None], self.varied.count, axis=0)

    def plates(self, k: int) -> _Columns:
        """The empty press: the k cells at each end, resting on each other with the joint of the lower ones."""
        n = len(self.layout.kind)
        ends = np.r_[:k, n - k : n]
        joints = np.zeros((self.varied.count, 5, 2 * k - 1))
        joints[:, :, k - 1] = self.varied.joints[:, :, k - 1]
        heaters = self.varied.heaters.copy()
        heaters[:, 1, SENSOR] -= n - 2 * k  # the upper plate has moved down
        polymers = self.varied.polymers[:, :0].copy()
        layout = Arrays(
            y=self.layout.y[ends],
            temperature=self.layout.temperature[ends],
            kind=np.full(2 * k, -1),
            memory=np.zeros((2 * k, 3)),
            cells=np.ascontiguousarray(self.layout.cells[:, ends]),
            joints=joints[0],
            polymers=polymers[0],
            tables=self.layout.tables[:0],
            ends=self.layout.ends,
            heaters=heaters[0],
            sheets=np.zeros((0, 2), dtype=np.int64),
        )
        return _Columns(layout, replace(self.varied, joints=joints, heaters=heaters, polymers=polymers))

    def march(
        self,
        first: int,
        last: int,
        temperature: Array,
        runs: Array,
        *,
        face: tuple[float, float] | None = None,
        grid: Array | None = None,
        energy: Array | None = None,
    ) -> tuple[Array, Array]:
        """March some of the columns; results (B, RESULTS) and temperatures at their ends (B, n), of those alone.

        `face`: after the first condition until the face has had so many seconds at 200 °C, or stands above so
        many °C; `energy` (B, g) of all columns is filled for those at the instants of `grid`.
        """
        layout, varied = self.layout, self.varied
        count = varied.count
        n, parts = layout.memory.shape
        instants = np.empty(0) if grid is None else grid
        drawn = np.empty((count, 0)) if energy is None else energy
        check_part(first, last, count)
        check_shape("temperature", temperature, count, n)
        check_shape("runs", runs, count, s.RUN)
        check_shape("energy", drawn, count, len(instants))
        for sheet in np.unique(runs[:, s.SHEET]):
            check_watched(float(sheet), layout.sheets)
        results = np.full((count, RESULTS), np.nan)
        reached = np.empty((count, n))
        _, plastics, row = varied.polymers.shape
        work = room_to_work(n, parts, varied.joints.shape[2], plastics, row, BAND_NODES)
        march_lanes(
            first, last, layout.kind, layout.cells, layout.sheets, temperature, layout.memory, varied.joints,
            varied.polymers, varied.ends, varied.heaters, varied.edge, runs, np.array(face or (inf, inf), dtype=float),
            face is not None, instants, results, drawn, reached, work,
        )  # fmt: skip
        return results[first:last], reached[first:last]


def _runs(count: int, *, end: float, room: float, tolerance: float) -> Array:
    """What the march of each column is told (B, RUN): a closed press, to `end`, without a condition."""
    runs = np.zeros((count, s.RUN))
    runs[:, s.END], runs[:, s.ROOM], runs[:, s.TOLERANCE], runs[:, s.PRESSED] = end, room, tolerance, 1.0
    return runs


def hot_cycles(
    layout: Arrays,
    varied: Varied,
    *,
    melt_level: float,
    dose_level: float,
    face_level: float,
    activation: float | Array,
    room: float,
    close_after: float,
    longest: float,
    grid: Array,
    tolerance: float,
) -> Cycles:
    """B press cycles from loading: melt-through, then how long the face may stay, and energies on the way.

    melt_level [°C] for the coldest point; dose_level [s at 200 °C] and face_level [°C] for the hotter face;
    activation [J/mol] of its clock, one for all columns or one for each (B,).
    """
    count = varied.count
    runs = _runs(count, end=longest, room=room, tolerance=tolerance)
    runs[:, s.CLOSE], runs[:, s.ACTIVATION] = close_after, activation
    runs[:, s.STOP], runs[:, s.LEVEL] = s.COLDEST_ABOVE, melt_level
    energy = np.full((count, len(grid)), np.nan)
    columns = _Columns.of(layout, varied)
    start = columns.start

    def work(first: int, last: int) -> Array:
        found, _ = columns.march(
            first, last, start, runs, face=(dose_level, face_level), grid=grid, energy=energy
        )
        return found

    results = np.concatenate(in_threads(count, work))
    return Cycles(results[:, REACHED], results[:, LATEST], results[:, LOW_BOTTOM:], energy)


def cold_rows(
    layout: Arrays,
    varied: Varied,
    *,
    moulds: int,
    level: float,
    every: float,
    room: float,
    plate_cells: int,
    tolerance: float,
) -> Array:
    """B times `moulds` in a row in a cooling press: (B, moulds) seconds until the hottest point is at `level`.

    Moulds follow each other every `every` seconds; one that is open waits elsewhere, and nan stands where
    a mould is not there before the next arrives, which then takes its place.
    """
    count, n, k = varied.count, len(layout.kind), plate_cells
    resting = _runs(count, end=every, room=room, tolerance=tolerance)
    holding = resting.copy()
    holding[:, s.STOP], holding[:, s.LEVEL] = s.HOTTEST_BELOW, level
    columns = _Columns.of(layout, varied)
    plates = columns.plates(k)
    start = columns.start

    def work(first: int, last: int) -> Array:
        times = np.full((last - first, moulds), np.nan)
        part = slice(first, last)
        for mould in range(moulds):
            found, left = columns.march(first, last, start, holding)
            times[:, mould] = found[:, REACHED]
            if mould + 1 < moulds:
                start[part, :k], start[part, n - k :] = left[:, :k], left[:, n - k :]
                # until the next mould comes
                resting[part, s.END] = every - np.nan_to_num(times[:, mould], nan=every)
                _, rested = plates.march(first, last, np.hstack([start[:, :k], start[:, n - k :]]), resting)
                start[part, :k], start[part, n - k :] = rested[:, :k], rested[:, k:]
        return times

    return np.concatenate(in_threads(count, work))
