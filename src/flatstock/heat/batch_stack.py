"""Many stacks that differ in their inputs, cooled side by side in threads: the band of a stack's answer.

The column of all moulds is laid out once; while only some have arrived, the march sees those cells and
the plates, copied together. Results are read off the recorded steps inside the compiled loop.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import float64, int64, types

from flatstock.errors import OutOfRange
from flatstock.heat import march as m
from flatstock.heat import rates as r
from flatstock.heat import steering
from flatstock.heat.batch import BAND_NODES, Varied, check_varied, in_threads
from flatstock.heat.blend_laws import enthalpy_of_cell
from flatstock.heat.bounds import check_part, check_shape
from flatstock.heat.laws import TABLE_NODES, TABLE_RATE
from flatstock.heat.pile import Arrays
from flatstock.heat.tables import TABLE_COLUMNS, fill_table

__all__ = ["Stacks", "stacks"]

Array = NDArray[np.float64]
RECORD_ROWS = 4000
HOT_AT, OPEN_AFTER, PEAK, REMELT = 0, 1, 2, 3


@dataclass(frozen=True, slots=True, eq=False)
class Stacks:
    """Results of B stacks of k moulds, (B, k) each; nan in `open_after`: not within the time looked at.

    hottest: at the asked instant [°C]; open_after: last instant above each mould's own limit [s]; peak [°C];
    remelted: largest rise of the mean melted fraction.
    """

    hottest: Array
    open_after: Array
    peak: Array
    remelted: Array


@kernel()
def _own_tables(polymers, tables):
    """Fill one column's tables (p, nodes, columns); `polymers` (p, ROW) learn how many nodes theirs has."""
    for p in range(polymers.shape[0]):
        polymers[p, TABLE_RATE] *= (tables.shape[1] - 1.0) / (TABLE_NODES - 1.0)
        fill_table(polymers[p], tables[p])


@kernel()
def _cubic(s, dt, a, da, b, db):
    return (a * (1.0 + 2.0 * s) + dt * da * s) * (1.0 - s) ** 2 + (
        b * (3.0 - 2.0 * s) - dt * db * (1.0 - s)
    ) * s * s


@kernel()
def _read_off(start, first, rows, record, seen, moulds, levels, asked, lowest_melted, result):
    """Take what a stage says of each of `moulds` sheets into `result` (k, 4): its rows 1 to `rows`, and from `first` on
    also what lies between a row and the one before."""
    for s in range(moulds):
        for i in range(1, rows + 1):
            hot = seen[i, s, m.S_HOT]
            result[s, PEAK] = max(result[s, PEAK], hot)
            lowest_melted[s] = min(lowest_melted[s], seen[i, s, m.S_MELTED])
            result[s, REMELT] = max(result[s, REMELT], seen[i, s, m.S_MELTED] - lowest_melted[s])
            if hot > levels[s]:
                result[s, OPEN_AFTER] = np.nan
            if i < first:
                continue
            t0 = start + record[i - 1, m.R_TIME]
            t1 = start + record[i, m.R_TIME]
            dt = t1 - t0
            a, da = seen[i - 1, s, m.S_HOT], seen[i - 1, s, m.S_HOT_RATE]
            db = seen[i, s, m.S_HOT_RATE]
            if t0 <= asked <= t1 and dt > 0.0:
                result[s, HOT_AT] = _cubic((asked - t0) / dt, dt, a, da, hot, db)
            if a > levels[s] >= hot:
                low, high = 0.0, 1.0
                for _ in range(30):
                    middle = 0.5 * (low + high)
                    if _cubic(middle, dt, a, da, hot, db) > levels[s]:
                        low = middle
                    else:
                        high = middle
                result[s, OPEN_AFTER] = t0 + high * dt


@kernel(
    types.void(
        int64, int64, float64[::1], float64[:, ::1], int64[::1], float64[:, ::1], float64[:, :, ::1],
        float64[:, :, ::1], float64[:, :, ::1], float64[::1], int64[::1], int64, float64[::1], float64, float64[::1],
        float64[::1], float64, float64[:, :, ::1],
    )
)  # fmt: skip
def _stacks(first, last, temperature, remembered, kind, cells, joints, polymers, ends, edge, plates, per, arrivals,
            end, run, levels, asked, results):  # fmt: skip
    n = len(kind)
    low, high = plates[0], plates[1]
    moulds = len(arrivals)
    table = np.empty((polymers.shape[1], BAND_NODES, TABLE_COLUMNS))
    record = np.zeros((1 + RECORD_ROWS, m.RECORD))  # the first is the last one of those before
    buffer = np.zeros((1 + RECORD_ROWS) * moulds * m.SHEET_RECORD)
    heaters = np.zeros((2, 8))
    y = np.empty(n)
    for b in range(first, last):
        t = temperature.copy()
        memory = remembered.copy()
        own = cells.copy()
        own[r.EDGE] *= edge[b]
        # copies of its own: threads that count references to shared arrays wait for each other
        own_ends, rows_of, own_heaters = ends[b].copy(), polymers[b].copy(), heaters.copy()
        _own_tables(rows_of, table)
        for i in range(n):
            p = kind[i]
            y[i] = t[i] if p < 0 else enthalpy_of_cell(t[i], memory, i, rows_of[p])
        lowest_melted = np.full(moulds, 2.0)
        results[b, :, OPEN_AFTER] = arrivals
        results[b, :, PEAK] = -1e9
        results[b, :, REMELT] = 0.0
        for stage in range(moulds):
            start = arrivals[stage]
            stop = arrivals[stage + 1] if stage + 1 < moulds else end
            here = low + (stage + 1) * per
            count = here + high
            pick = np.empty(count, dtype=np.int64)
            for i in range(here):
                pick[i] = i
            for i in range(high):
                pick[here + i] = n - high + i
            sub_joints = np.empty((5, max(count - 1, 1)))
            for i in range(count - 1):
                sub_joints[:, i] = joints[b, :, i if i < here - 1 else n - high - 1 + (i - here + 1)]
            sheets = np.empty((stage + 1, 2), dtype=np.int64)
            for s in range(stage + 1):
                sheets[s, 0] = low + s * per + 1
                sheets[s, 1] = low + (s + 1) * per - 1
            sub_cells = np.empty((5, count))
            for i in range(count):
                sub_cells[:, i] = own[:, pick[i]]
            sub_y, sub_t, sub_kind, sub_memory = (
                y[pick],
                t[pick],
                kind[pick],
                np.empty((count, memory.shape[1])),
            )
            for i in range(count):
                sub_memory[i] = memory[pick[i]]
            state = run.copy()
            state[steering.END] = max(stop - start, 0.0)
            total = np.zeros(r.FLOWS)
            size = (1 + RECORD_ROWS) * (stage + 1) * m.SHEET_RECORD
            seen = buffer[:size].reshape((1 + RECORD_ROWS, stage + 1, m.SHEET_RECORD))
            told = 2  # the first row has none before it
            while True:
                ended, rows = m.march(
                    sub_y, sub_t, sub_kind, sub_memory, sub_cells, sub_joints, rows_of, table, own_ends, own_heaters,
                    sheets, state, total, record[1:], seen[1:], np.zeros((0, 3, count)),
                )  # fmt: skip
                _read_off(
                    start, told, rows, record, seen, stage + 1, levels, asked, lowest_melted, results[b]
                )
                if ended != steering.BUFFER_FULL:
                    break
                record[0], seen[0], told = record[rows], seen[rows], 1
            if ended == steering.LOST:
                results[b, :, PEAK] = np.nan
                break
            for i in range(count):
                y[pick[i]] = sub_y[i]
                t[pick[i]] = sub_t[i]
                memory[pick[i]] = sub_memory[i]


def stacks(
    layout: Arrays,
    varied: Varied,
    *,
    plate_cells: tuple[int, int],
    cells_per_mould: int,
    arrivals: Array,
    end: float,
    levels: Array,
    asked: float,
    room: float,
    tolerance: float,
) -> Stacks:
    """B stacks, from the first arrival to `end` [s].

    `layout` is the whole pile as if every mould had arrived, with the temperatures at which they arrive;
    `arrivals`, `levels` (k,): when each mould comes [s], rising, and below what it may be opened [°C].
    """
    run = np.zeros(steering.RUN)
    run[steering.TOLERANCE], run[steering.ROOM], run[steering.PRESSED] = tolerance, room, 1.0
    results = np.full((varied.count, len(arrivals), 4), np.nan)
    plates = np.array(plate_cells, dtype=np.int64)
    joints, polymers, ends, edge = (
        np.ascontiguousarray(x) for x in (varied.joints, varied.polymers, varied.ends, varied.edge)
    )
    coming, open_below = np.array(arrivals, dtype=float), np.array(levels, dtype=float)
    check_varied(layout, varied)
    check_shape("levels", open_below, len(coming))
    low, high = plate_cells
    if (
        min(low, high) < 0
        or cells_per_mould < 3
        or low + high + len(coming) * cells_per_mould != len(layout.kind)
    ):
        raise IndexError(
            f"{len(coming)} moulds and their plates are not the {len(layout.kind)} cells of the layout."
        )

    def work(first: int, last: int) -> None:
        check_part(first, last, varied.count)
        _stacks(
            first, last, layout.temperature, layout.memory, layout.kind, layout.cells, joints, polymers, ends, edge,
            plates, cells_per_mould, coming, end, run, open_below, asked, results,
        )  # fmt: skip

    in_threads(varied.count, work)
    if np.isnan(results[:, :, PEAK]).any():
        raise OutOfRange("A march through a stack lost its way: a property or conductance is not sound.")
    return Stacks(*(results[:, :, i].copy() for i in range(4)))
