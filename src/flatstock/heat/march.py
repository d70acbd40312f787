"""The compiled march through time: adaptive steps that end at every switching instant.

Press closing, thermostat and the condition that ends a run are found inside a step by a cubic through
both its ends, and the step is taken again so that it ends there.
"""

from __future__ import annotations

from math import exp, isfinite, log, sqrt

import numpy as np

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import float64, int64, types

from flatstock.heat.blend_laws import boiling_enthalpy, remember
from flatstock.heat.laws import PARTS
from flatstock.heat.points import crossing, extreme, faces
from flatstock.heat.rates import (
    BAND,
    CAP,
    FLOWS,
    MODE,
    ON,
    ON_OFF,
    SENSOR,
    SET,
    STATE_COLUMNS,
    STEAM,
    VOLUME,
    WEIGHT,
    C,
    F,
    T,
    X,
    rates,
    sensor,
)
from flatstock.heat.rosenbrock import FACTOR_COLUMNS, add_energies, step

__all__ = ["BUFFER_FULL", "LOST", "REACHED_END", "STOPPED", "march"]

# entries of `run`
(
    TIME,
    END,
    CLOSE,
    STEP,
    TOLERANCE,
    ROOM,
    PRESSED,
    DOSE,
    ACTIVATION,
    STOP,
    LEVEL,
    SECOND_LEVEL,
    SHEET,
    STEPS,
    AUDIT,
) = range(15)
RUN = 15
# what ends a run early
NEVER, COLDEST_ABOVE, HOTTEST_BELOW, FACE_SPENT = 0, 1, 2, 3
# how a run ended
REACHED_END, STOPPED, BUFFER_FULL, LOST = 0, 1, 2, 3
# columns of `record`: one row a step
R_TIME, R_SENSOR, R_SENSOR_RATE, R_FACE, R_DOSE, R_ENERGY = 0, 1, 3, 5, 7, 8
R_POWER = R_ENERGY + FLOWS
RECORD = R_POWER + FLOWS
# last axis of `sheets_record`: one row a step and sheet
S_HOT, S_HOT_RATE, S_COLD, S_COLD_RATE, S_MELTED, S_HEIGHT = 0, 1, 2, 3, 4, 5
SHEET_RECORD = 6

GAS = 8.314462618  # J/mol K, CODATA 2018
DOSE_REFERENCE = 473.15  # K: equivalent time at 200 °C
FIRST_STEP = 5e-3  # s, after a cold mould has met hot platens
CLOSING_STEP = 0.05  # s, after the press has closed and every conductance has changed
SWITCH_STEP = 20.0  # s, after a thermostat has switched: a platen answers slowly
SMALLEST = 1e-10
LONGEST_GROWTH = 3.0
SAFETY = 0.85


@kernel()
def _dose_rate(run, sheets, w):
    """Seconds at 200 °C that a second at the hotter face is worth."""
    if run[ACTIVATION] <= 0.0 or sheets.shape[0] == 0:
        return 0.0
    bottom, top = faces(sheets, int(run[SHEET]), w)
    return exp(-run[ACTIVATION] / GAS * (1.0 / (max(bottom, top) + 273.15) - 1.0 / DOSE_REFERENCE))


@kernel()
def _condition(run, dose, sheets, w):
    """How far the run is past what ends it (from 0 on: past), and the rate of that."""
    if run[STOP] == NEVER or sheets.shape[0] == 0:
        return -1.0, 0.0
    sheet = int(run[SHEET])
    if run[STOP] == FACE_SPENT:
        bottom, top = faces(sheets, sheet, w)
        return max(dose / run[LEVEL] - 1.0, (max(bottom, top) - run[SECOND_LEVEL]) / run[SECOND_LEVEL]), 0.0
    sign = -1.0 if run[STOP] == COLDEST_ABOVE else 1.0
    value, rate = extreme(sheets[sheet, 0], sheets[sheet, 1], sign, w)
    return sign * (run[LEVEL] - value), -sign * rate


@kernel()
def _spent_after(dt, run, sheets, w, w_end, dose_end):
    """When in a step of `dt` the hotter face has had its dose, or passes its limit: the sooner of the two [s].

    Each of them is looked at alone: the one that is nearer at the start of a long step may not be the one that
    is met. The dose is the quadratic through both its ends whose slopes are the rates there, as it is added up.
    """
    found = dt
    left = run[LEVEL] - run[DOSE]
    if dose_end >= run[LEVEL] and left > 0.0:
        rate = _dose_rate(run, sheets, w)
        bend = 2.0 * (_dose_rate(run, sheets, w_end) - rate) / dt
        found = 2.0 * left / (rate + sqrt(max(rate * rate + bend * left, 0.0)))
    bottom, top = faces(sheets, int(run[SHEET]), w)
    bottom_end, top_end = faces(sheets, int(run[SHEET]), w_end)
    face, face_end = max(bottom, top), max(bottom_end, top_end)
    if face < run[SECOND_LEVEL] <= face_end:
        found = min(found, dt * (run[SECOND_LEVEL] - face) / (face_end - face))
    return min(found, dt)


@kernel()
def _thermostat(side, heaters, w):
    """How far a platen's sensor is past its next switching temperature, and the rate of that."""
    rising = heaters[side, ON] > 0.0
    sign = 1.0 if rising else -1.0
    level = heaters[side, SET] + sign * heaters[side, BAND]
    cell = int(heaters[side, SENSOR])
    share = heaters[side, WEIGHT]
    return (
        sign * (sensor(side, heaters, w) - level),
        sign * ((1.0 - share) * w[cell, F] + share * w[cell + 1, F]),
    )


@kernel()
def _write(at, run, sheets, heaters, flows, total, w, kind, cells, record, sheets_record, profile):
    n = w.shape[0]
    record[at, R_TIME] = run[TIME]
    for side in range(2):
        cell = int(heaters[side, SENSOR])
        share = heaters[side, WEIGHT]
        record[at, R_SENSOR + side] = sensor(side, heaters, w)
        record[at, R_SENSOR_RATE + side] = (1.0 - share) * w[cell, F] + share * w[cell + 1, F]
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


@kernel()
def _boil_off(i, y, memory, cells, p):
    """Take the heat that has gone into steam out of the cell; returns it [J/m2]."""
    spent = min(max(y[i] - boiling_enthalpy(memory, i, p), 0.0), memory[i, 2])
    y[i] -= spent
    memory[i, 2] -= spent
    return spent * cells[CAP, i]


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
        for side in range(2):
            if heaters[side, MODE] == ON_OFF and heaters[side, ON] < 0.0:
                heaters[side, ON] = 1.0 if sensor(side, heaters, now) < heaters[side, SET] else 0.0
    rates(
        y,
        now,
        kind,
        memory,
        cells,
        joints,
        polymers,
        tables,
        ends,
        heaters,
        room,
        closed,
        pressed,
        True,
        now,
        flows,
    )
    if run[STEPS] == 0.0:
        _write(0, run, sheets, heaters, flows, total, now, kind, cells, record, sheets_record, profile)
        rows = 1
        if run[STEP] <= 0.0:
            run[STEP] = FIRST_STEP
        past, _ = _condition(run, run[DOSE], sheets, now)
        if run[STOP] != NEVER and past >= 0.0:
            return STOPPED, rows
    dt = run[STEP]
    log_before = 0.0
    ending = REACHED_END
    past, past_rate = _condition(run, run[DOSE], sheets, now)
    dose_rate = _dose_rate(run, sheets, now)
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
                dt *= max(0.2, SAFETY * size ** (-1.0 / 3.0))
                refused = True
                continue
            rates(
                y_new, then, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed,
                True, then, then_flows,
            )  # fmt: skip
            new_dose_rate = _dose_rate(run, sheets, then)
            dose = run[DOSE] + 0.5 * dt * (dose_rate + new_dose_rate)
            new_past, new_rate = _condition(run, dose, sheets, then)
            if switch >= 0:
                break  # this was the shortened step
            soonest = dt
            if run[STOP] != NEVER and past < 0.0 <= new_past:
                switch = 2
                if run[STOP] == FACE_SPENT:
                    soonest = _spent_after(dt, run, sheets, now, then, dose)
                else:
                    soonest = crossing(dt, past, past_rate, new_past, new_rate)
            for side in range(2):
                if heaters[side, MODE] == ON_OFF:
                    before, before_rate = _thermostat(side, heaters, now)
                    after, after_rate = _thermostat(side, heaters, then)
                    if before < 0.0 <= after:
                        when = crossing(dt, before, before_rate, after, after_rate)
                        if switch < 0 or when < soonest:
                            switch = side
                            soonest = when
            if switch < 0 or soonest > dt * (1.0 - 1e-9):
                break
            dt = max(soonest, SMALLEST)
        run[TIME] += dt
        run[STEPS] += 1.0
        run[DOSE] = dose
        add_energies(dt, run[AUDIT] > 0.0, cells, heaters, flows, now, k, powers, total)
        for i in range(n):
            y[i] = y_new[i]
            if kind[i] >= 0:
                memory[i, 0] = then[i, X]
                memory[i, 1] = then[i, C]
                if polymers[kind[i], PARTS] > 0.0:
                    remember(then[i, T], memory, i, polymers[kind[i]])
                if memory[i, 2] > 0.0:
                    total[STEAM] += _boil_off(i, y, memory, cells, polymers[kind[i]])
        now, then = then, now
        flows, then_flows = then_flows, flows
        # a controller with memory of the error before (Gustafsson 1991): melting cell by cell makes the error
        # jump, and without memory a third of the steps would be refused
        log_size = log(max(size, 1e-6))
        growth = SAFETY * exp((0.4 * log_before - 0.7 * log_size) / 3.0)
        log_before = max(log_size, log(1e-3))
        grown = dt * min(1.0 if refused else LONGEST_GROWTH, growth)
        dt = max(grown, wish) if dt < wish and size < 0.5 and not refused else grown
        changed = False
        for side in range(2):
            # two events of one step may lie so near each other that its end, shortened to the first, is past both
            if switch == side or (
                heaters[side, MODE] == ON_OFF and _thermostat(side, heaters, now)[0] >= 0.0
            ):
                heaters[side, ON] = 1.0 - heaters[side, ON]
                dt = min(max(dt, wish), SWITCH_STEP)
                changed = True
        if not closed and run[TIME] >= run[CLOSE] - 1e-9:
            closed = True
            dt = min(dt, CLOSING_STEP)
            changed = True
        if changed:
            rates(
                y, now, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed,
                True, now, flows,
            )  # fmt: skip
        _write(rows, run, sheets, heaters, flows, total, now, kind, cells, record, sheets_record, profile)
        rows += 1
        if switch == 2 or past < 0.0 <= new_past:
            ending = STOPPED
            break
        past, past_rate, dose_rate = new_past, new_rate, new_dose_rate
        if changed:
            past, past_rate = _condition(run, run[DOSE], sheets, now)
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
