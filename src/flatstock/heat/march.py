"""The compiled march through time: adaptive steps that end at every switching instant.

Press closing, thermostat and the condition that ends a run are found inside a step by a cubic through
both its ends, and the step is taken again so that it ends there.
"""

from __future__ import annotations

from math import isfinite

import numpy as np

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import float64, int64, types

from flatstock.heat.points import extreme, faces
from flatstock.heat.rates import (
    CAP,
    FLOWS,
    MODE,
    ON,
    ON_OFF,
    STATE_COLUMNS,
    STEAM,
    VOLUME,
    T,
    X,
    rates,
    rates_apart,
    sensor,
)
from flatstock.heat.rosenbrock import FACTOR_COLUMNS, add_energies, step
from flatstock.heat.steering import (
    AUDIT,
    BUFFER_FULL,
    CLOSE,
    CLOSING_STEP,
    DOSE,
    END,
    FIRST_STEP,
    LOST,
    NEVER,
    PRESSED,
    REACHED_END,
    ROOM,
    RUN,
    SHEET,
    SMALLEST,
    STEP,
    STEPS,
    STOP,
    STOPPED,
    SWITCH_STEP,
    TIME,
    TOLERANCE,
    condition,
    grown_step,
    sensor_rate,
    settle,
    shorter_step,
    soonest_event,
    start_thermostats,
    thermostat,
)
from flatstock.heat.steering import dose_rate as dose_rate_of

__all__ = ["BUFFER_FULL", "LOST", "REACHED_END", "RUN", "STOPPED", "march"]

# columns of `record`: one row a step
R_TIME, R_SENSOR, R_SENSOR_RATE, R_FACE, R_DOSE, R_ENERGY = 0, 1, 3, 5, 7, 8
R_POWER = R_ENERGY + FLOWS
RECORD = R_POWER + FLOWS
# last axis of `sheets_record`: one row a step and sheet
S_HOT, S_HOT_RATE, S_COLD, S_COLD_RATE, S_MELTED, S_HEIGHT = 0, 1, 2, 3, 4, 5
SHEET_RECORD = 6


@kernel()
def _write(at, run, sheets, heaters, flows, total, w, kind, cells, record, sheets_record, profile):
    n = w.shape[0]
    record[at, R_TIME] = run[TIME]
    for side in range(2):
        record[at, R_SENSOR + side] = sensor(side, heaters, w)
        record[at, R_SENSOR_RATE + side] = sensor_rate(side, heaters, w)
    record[at, R_DOSE] = run[DOSE]
    for j in range(FLOWS):
        record[at, R_ENERGY + j] = total[j]
        record[at, R_POWER + j] = flows[j, 0]
    if sheets.shape[0] > 0:
        record[at, R_FACE], record[at, R_FACE + 1] = faces(sheets, int(run[SHEET]), w)
    for s in range(sheets_record.shape[1] if sheets_record.shape[0] > 0 else 0):
        first, last = sheets[s, 0], sheets[s, 1]
        sheets_record[at, s, S_HOT], sheets_record[at, s, S_HOT_RATE] = extreme(first, last, 1.0, w)
        sheets_record[at, s, S_COLD], sheets_record[at, s, S_COLD_RATE] = extreme(first, last, -1.0, w)
        mass = 0.0
        melt = 0.0
        height = 0.0
        for i in range(first, last):
            mass += cells[CAP, i]
            melt += cells[CAP, i] * w[i, X]
            height += cells[CAP, i] * w[i, VOLUME]
        sheets_record[at, s, S_MELTED] = melt / mass
        sheets_record[at, s, S_HEIGHT] = height
    if profile.shape[0] > 0:
        for i in range(n):
            profile[at, 0, i] = w[i, T]
            profile[at, 1, i] = w[i, X] if kind[i] >= 0 else 0.0
            profile[at, 2, i] = cells[CAP, i] * w[i, VOLUME] if kind[i] >= 0 else 0.0


@kernel(borrows=True)
def _march(
    y, temperature, kind, memory, cells, joints, polymers, tables, ends, heaters, sheets, run, total, record,
    sheets_record, profile, now, then, flows, then_flows, powers, lu, k, y_new,
):  # fmt: skip
    n = y.shape[0]
    rows = 0
    pressed = run[PRESSED] > 0.0
    room = run[ROOM]
    closed = run[TIME] >= run[CLOSE]
    for i in range(n):
        now[i, T] = temperature[i]
    if run[STEPS] == 0.0:
        start_thermostats(heaters, now)
    rates_apart(
        y, now, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed, now, flows
    )  # fmt: skip
    if run[STEPS] == 0.0:
        _write(0, run, sheets, heaters, flows, total, now, kind, cells, record, sheets_record, profile)
        rows = 1
        if run[STEP] <= 0.0:
            run[STEP] = FIRST_STEP
        past, _ = condition(run, run[DOSE], sheets, now)
        if run[STOP] != NEVER and past >= 0.0:
            return STOPPED, rows
    dt = run[STEP]
    log_before = 0.0
    ending = REACHED_END
    past, past_rate = condition(run, run[DOSE], sheets, now)
    dose_rate = dose_rate_of(run, sheets, now)
    while run[END] - run[TIME] > 1e-9:
        if rows >= record.shape[0]:
            ending = BUFFER_FULL
            break
        wish = dt
        dt = min(dt, run[END] - run[TIME])
        if not closed:
            dt = min(dt, run[CLOSE] - run[TIME])
        switch = -1  # 0 or 1: that platen's thermostat; 2: the condition that ends the run
        size = 0.0
        tries = 0
        refused = False
        while True:
            tries += 1
            if dt < SMALLEST or tries > 80:
                return LOST, rows
            error = step(
                dt, y, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed,
                now, flows, lu, k, then, then_flows, powers, y_new,
            )  # fmt: skip
            size = error / run[TOLERANCE]
            if not isfinite(size):
                dt *= 0.1
                continue
            if size > 1.0 and switch < 0:
                dt = shorter_step(dt, size)
                refused = True
                continue
            rates(
                y_new, then, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed,
                True, then, then_flows,
            )  # fmt: skip
            new_dose_rate = dose_rate_of(run, sheets, then)
            dose = run[DOSE] + 0.5 * dt * (dose_rate + new_dose_rate)
            new_past, new_rate = condition(run, dose, sheets, then)
            if switch >= 0:
                break  # this was the shortened step
            switch, soonest = soonest_event(
                dt, run, past, past_rate, new_past, new_rate, dose, sheets, heaters, now, then
            )
            if switch < 0 or soonest > dt * (1.0 - 1e-9):
                break
            dt = max(soonest, SMALLEST)
        run[TIME] += dt
        run[STEPS] += 1.0
        run[DOSE] = dose
        add_energies(dt, run[AUDIT] > 0.0, cells, heaters, flows, now, k, powers, total)
        total[STEAM] += settle(True, y, y_new, memory, cells, kind, polymers, then)
        now, then = then, now
        flows, then_flows = then_flows, flows
        dt, log_before = grown_step(dt, wish, size, log_before, refused)
        changed = False
        for side in range(2):
            # two events of one step may lie so near each other that its end, shortened to the first, is past both
            if switch == side or (heaters[side, MODE] == ON_OFF and thermostat(side, heaters, now)[0] >= 0.0):
                heaters[side, ON] = 1.0 - heaters[side, ON]
                dt = min(max(dt, wish), SWITCH_STEP)
                changed = True
        if not closed and run[TIME] >= run[CLOSE] - 1e-9:
            closed = True
            dt = min(dt, CLOSING_STEP)
            changed = True
        if changed:
            rates_apart(
                y, now, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed, now,
                flows,
            )  # fmt: skip
        _write(rows, run, sheets, heaters, flows, total, now, kind, cells, record, sheets_record, profile)
        rows += 1
        if switch == 2 or past < 0.0 <= new_past:
            ending = STOPPED
            break
        past, past_rate, dose_rate = new_past, new_rate, new_dose_rate
        if changed:
            past, past_rate = condition(run, run[DOSE], sheets, now)
    for i in range(n):
        temperature[i] = now[i, T]
    run[STEP] = dt
    return ending, rows


@kernel(
    types.Tuple((int64, int64))(
        float64[::1],
        float64[::1],
        int64[::1],
        float64[:, ::1],
        float64[:, ::1],
        float64[:, ::1],
        float64[:, ::1],
        float64[:, :, ::1],
        float64[:, ::1],
        float64[:, ::1],
        int64[:, ::1],
        float64[::1],
        float64[::1],
        float64[:, ::1],
        float64[:, :, ::1],
        float64[:, :, ::1],
    )
)
def march(
    y: np.ndarray,
    temperature: np.ndarray,
    kind: np.ndarray,
    memory: np.ndarray,
    cells: np.ndarray,
    joints: np.ndarray,
    polymers: np.ndarray,
    tables: np.ndarray,
    ends: np.ndarray,
    heaters: np.ndarray,
    sheets: np.ndarray,
    run: np.ndarray,
    total: np.ndarray,
    record: np.ndarray,
    sheets_record: np.ndarray,
    profile: np.ndarray,
) -> tuple[int, int]:
    """March `y` (n,), `memory` (n, 3 or more) and `run` forward in place; returns how it ended and rows recorded.

    `total` (7,) gathers energies [J/m2] in the order of `flows`; `sheets` (k, 2) are first and one past the
    last cell of each sheet; `record` (m, RECORD), `sheets_record` (m, k, 6) and, where it has rows,
    `profile` (m, 3, n: temperature, melted fraction, cell height) are filled a row a step. When they are
    full the march returns and can be called again: everything it needs stands in its arguments.
    """
    n = y.shape[0]
    now = np.zeros((n, STATE_COLUMNS))
    then = np.zeros((n, STATE_COLUMNS))
    flows = np.zeros((FLOWS, 2))
    then_flows = np.zeros((FLOWS, 2))
    powers = np.zeros((2, FLOWS))
    lu = np.zeros((n, FACTOR_COLUMNS))
    k = np.zeros((4, n))
    y_new = np.zeros(n)
    return _march(
        y, temperature, kind, memory, cells, joints, polymers, tables, ends, heaters, sheets, run, total, record,
        sheets_record, profile, now, then, flows, then_flows, powers, lu, k, y_new,
    )  # fmt: skip
