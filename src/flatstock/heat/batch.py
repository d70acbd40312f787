"""Many columns that differ in their inputs, marched side by side in threads: what a band is made from.

Compiled loops over columns; each takes the shared layout of `pile.lay_out` and its own row of every
input that varies. Threads work because the march releases the interpreter's lock.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from flatstock.heat import march as m
from flatstock.heat import rates as r
from flatstock.heat.blend_laws import enthalpy_of_cell
from flatstock.heat.compiling import kernel
from flatstock.heat.laws import TABLE_NODES, TABLE_RATE
from flatstock.heat.pile import Arrays
from flatstock.heat.tables import TABLE_COLUMNS, fill_table

__all__ = [
    "BAND_NODES",
    "RECORD_ROWS",
    "Cycles",
    "Varied",
    "cold_rows",
    "hot_cycles",
    "in_threads",
    "own_tables",
]

Array = NDArray[np.float64]
RECORD_ROWS = 4000
#: of a band's column; a fifth of its time went into filling 1024, and 256 move a band's ends by under 0.1 %
BAND_NODES = 256
# columns of a hot cycle's result
MELT, LATEST, LOW_BOTTOM, LOW_TOP = 0, 1, 2, 3


@dataclass(frozen=True, slots=True, eq=False)
class Varied:
    """What differs between B columns of one layout of n cells, shapes as in `march.march`.

    polymers (B, p, ROW), joints (B, 5, n-1), ends (B, 2, 7), heaters (B, 2, 8), edge (B,): factor on the
    edge film.
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


@kernel()
def own_tables(polymers, tables):
    """Fill one column's tables (p, nodes, columns); `polymers` (p, ROW) learn how many nodes theirs has."""
    for p in range(polymers.shape[0]):
        polymers[p, TABLE_RATE] *= (tables.shape[1] - 1.0) / (TABLE_NODES - 1.0)
        fill_table(polymers[p], tables[p])


@kernel()
def _start(kind, temperature, memory, polymers, y):
    for i in range(len(kind)):
        p = kind[i]
        y[i] = temperature[i] if p < 0 else enthalpy_of_cell(temperature[i], memory, i, polymers[p])


@kernel()
def _lowest(record, rows, side, low):
    for i in range(rows):
        low = min(low, record[i, m.R_SENSOR + side])
        # vertex of the parabola with the rates at both ends, where the sensor turns inside the step
        if i + 1 < rows:
            a, b = record[i, m.R_SENSOR_RATE + side], record[i + 1, m.R_SENSOR_RATE + side]
            if a < 0.0 < b:
                dt = record[i + 1, m.R_TIME] - record[i, m.R_TIME]
                low = min(low, record[i, m.R_SENSOR + side] + 0.5 * a * a * dt / (a - b))
    return low


@kernel()
def _spent(record, rows, dose_level, face_level):
    """First instant at which the hotter face has had its dose or stands above its limit; nan: not in these rows.

    Straight between two rows, each of the two alone: the nearer one at a row may not be the one that is met.
    """
    for i in range(rows):
        dose = record[i, m.R_DOSE]
        face = max(record[i, m.R_FACE], record[i, m.R_FACE + 1])
        if dose < dose_level and face < face_level:
            continue
        if i == 0:
            return record[i, m.R_TIME]
        share = 1.0
        if dose >= dose_level:
            before = record[i - 1, m.R_DOSE]
            share = (dose_level - before) / (dose - before)
        if face >= face_level:
            before = max(record[i - 1, m.R_FACE], record[i - 1, m.R_FACE + 1])
            share = min(share, (face_level - before) / (face - before))
        return record[i - 1, m.R_TIME] + share * (record[i, m.R_TIME] - record[i - 1, m.R_TIME])
    return np.nan


@kernel()
def _hot_cycles(first, last, temperature, kind, memory, cells, sheets, joints, polymers, ends, heaters, edge,
                activation, run, melt_level, dose_level, face_level, grid, results, energy):  # fmt: skip
    n = len(kind)
    table = np.empty((polymers.shape[1], BAND_NODES, TABLE_COLUMNS))
    y = np.empty(n)
    record = np.zeros((RECORD_ROWS, m.RECORD))
    seen = np.zeros((0, sheets.shape[0], m.SHEET_RECORD))
    none = np.zeros((0, 3, n))
    ends_at = grid[len(grid) - 1] if len(grid) > 0 else 0.0
    for b in range(first, last):
        t = temperature.copy()
        mem = memory.copy()
        own = cells.copy()
        own[r.EDGE] *= edge[b]
        # copies of its own: threads that count references to shared arrays wait for each other
        own_kind, own_sheets = kind.copy(), sheets.copy()
        heat, own_joints, own_ends, rows_of = (
            heaters[b].copy(),
            joints[b].copy(),
            ends[b].copy(),
            polymers[b].copy(),
        )
        own_tables(rows_of, table)
        state = run.copy()
        state[m.ACTIVATION] = activation[b]
        total = np.zeros(r.FLOWS)
        _start(own_kind, t, mem, rows_of, y)
        at = 0
        low_bottom = low_top = 1e9
        spent = np.nan
        for turn in range(2):
            if turn == 0:
                state[m.STOP], state[m.LEVEL] = m.COLDEST_ABOVE, melt_level
            elif isfinite(spent):  # before melt-through already: only the energies are still wanted
                state[m.STOP], state[m.END] = m.NEVER, max(state[m.TIME], min(state[m.END], ends_at))
            else:
                state[m.STOP], state[m.LEVEL], state[m.SECOND_LEVEL] = m.FACE_SPENT, dose_level, face_level
            before = total[r.HEAT_BOTTOM] + total[r.HEAT_TOP]
            started = state[m.TIME]
            ended, rows = m.march(
                y, t, own_kind, mem, own, own_joints, rows_of, table, own_ends, heat, own_sheets, state, total,
                record, seen, none,
            )  # fmt: skip
            if turn == 0:
                low_bottom = _lowest(record, rows, 0, low_bottom)
                low_top = _lowest(record, rows, 1, low_top)
                spent = _spent(record, rows, dose_level, face_level)
            for i in range(rows):
                while at < len(grid) and grid[at] <= record[i, m.R_TIME]:
                    now = record[i, m.R_ENERGY] + record[i, m.R_ENERGY + 1]
                    span = record[i, m.R_TIME] - started
                    share = (grid[at] - started) / span if span > 0.0 else 1.0
                    energy[b, at] = before + (now - before) * share
                    at += 1
                before = record[i, m.R_ENERGY] + record[i, m.R_ENERGY + 1]
                started = record[i, m.R_TIME]
            results[b, turn] = state[m.TIME] if ended == m.STOPPED else np.nan
            if ended != m.STOPPED:
                results[b, LATEST] = np.nan
                break
        if isfinite(spent):
            results[b, LATEST] = spent
        results[b, LOW_BOTTOM], results[b, LOW_TOP] = low_bottom, low_top


def in_threads(count: int, work: Callable[[int, int], None]) -> None:
    """Call `work(first, last)` for consecutive parts of `count` columns, one part a processor."""
    workers = max(1, min(os.cpu_count() or 1, count))
    cuts = np.linspace(0, count, workers + 1).astype(int)
    with ThreadPoolExecutor(workers) as pool:
        list(pool.map(work, cuts[:-1].tolist(), cuts[1:].tolist()))


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
    run = np.zeros(m.RUN)
    run[m.END], run[m.CLOSE], run[m.TOLERANCE], run[m.ROOM] = longest, close_after, tolerance, room
    run[m.PRESSED] = 1.0
    count = varied.count
    energies = np.broadcast_to(np.asarray(activation, dtype=float), (count,)).copy()
    results = np.full((count, 4), np.nan)
    energy = np.full((count, len(grid)), np.nan)

    def work(first: int, last: int) -> None:
        _hot_cycles(
            first, last, layout.temperature, layout.kind, layout.memory, layout.cells, layout.sheets, varied.joints,
            varied.polymers, varied.ends, varied.heaters, varied.edge, energies, run, melt_level, dose_level,
            face_level, grid, results, energy,
        )  # fmt: skip

    in_threads(count, work)
    return Cycles(results[:, MELT], results[:, LATEST], results[:, LOW_BOTTOM:], energy)


@kernel()
def _cold_rows(first, last, temperature, kind, memory, cells, sheets, joints, polymers, ends, heaters, edge,
               run, level, every, plate_cells, results):  # fmt: skip
    n = len(kind)
    k = plate_cells
    table = np.empty((polymers.shape[1], BAND_NODES, TABLE_COLUMNS))
    y = np.empty(n)
    record = np.zeros((RECORD_ROWS, m.RECORD))
    seen = np.zeros((0, sheets.shape[0], m.SHEET_RECORD))
    none = np.zeros((0, 3, n))
    # the empty press: its plates rest on each other
    plates = np.zeros(2 * k)
    bare_kind = np.full(2 * k, -1)
    bare_cells = np.empty((cells.shape[0], 2 * k))
    bare_memory = np.zeros((2 * k, 3))
    bare_sheets = np.zeros((0, 2), dtype=np.int64)
    bare_seen = np.zeros((0, 0, m.SHEET_RECORD))
    bare_none = np.zeros((0, 3, 2 * k))
    bare_heaters = np.zeros((2, 8))
    for b in range(first, last):
        own = cells.copy()
        own[r.EDGE] *= edge[b]
        bare_cells[:, :k] = own[:, :k]
        bare_cells[:, k:] = own[:, n - k :]
        bare_joints = np.zeros((5, 2 * k - 1))
        bare_joints[:, k - 1] = joints[b, :, k - 1]
        own_kind, own_sheets, own_heaters = kind.copy(), sheets.copy(), heaters[b].copy()
        own_joints, own_ends, rows_of = joints[b].copy(), ends[b].copy(), polymers[b].copy()
        own_tables(rows_of, table)
        t = temperature.copy()
        for mould in range(results.shape[1]):
            if mould > 0:
                t[k : n - k] = temperature[k : n - k]
            mem = memory.copy()
            _start(own_kind, t, mem, rows_of, y)
            state = run.copy()
            state[m.END], state[m.STOP], state[m.LEVEL] = every, m.HOTTEST_BELOW, level
            total = np.zeros(r.FLOWS)
            ended, _ = m.march(
                y, t, own_kind, mem, own, own_joints, rows_of, table, own_ends, own_heaters, own_sheets, state, total,
                record, seen, none,
            )  # fmt: skip
            if ended != m.STOPPED:
                continue
            results[b, mould] = state[m.TIME]
            plates[:k] = t[:k]
            plates[k:] = t[n - k :]
            rest = run.copy()
            rest[m.END] = every - state[m.TIME]
            m.march(
                plates.copy(), plates, bare_kind, bare_memory, bare_cells, bare_joints, rows_of, table, own_ends,
                bare_heaters, bare_sheets, rest, total, record, bare_seen, bare_none,
            )  # fmt: skip
            t[:k] = plates[:k]
            t[n - k :] = plates[k:]


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
    run = np.zeros(m.RUN)
    run[m.TOLERANCE], run[m.ROOM], run[m.PRESSED] = tolerance, room, 1.0
    results = np.full((varied.count, moulds), np.nan)

    def work(first: int, last: int) -> None:
        _cold_rows(
            first, last, layout.temperature, layout.kind, layout.memory, layout.cells, layout.sheets, varied.joints,
            varied.polymers, varied.ends, varied.heaters, varied.edge, run, level, every, plate_cells, results,
        )  # fmt: skip

    in_threads(varied.count, work)
    return results
