"""What steers a march: what ends it, when thermostats switch, how long the next step is; compiled.

For one column at a time, also where several are marched side by side: each has its own clock and its own steps.
"""

from __future__ import annotations

from math import exp, log, sqrt

from flatstock.heat.blend_laws import boiling_enthalpy, remember
from flatstock.heat.compiling import kernel
from flatstock.heat.lanes import any_of, select, shared
from flatstock.heat.laws import PARTS
from flatstock.heat.points import crossing, extreme, faces
from flatstock.heat.rates import BAND, CAP, MODE, ON, ON_OFF, SENSOR, SET, WEIGHT, C, F, T, X, sensor

__all__ = [
    "condition",
    "dose_rate",
    "grown_step",
    "sensor_rate",
    "settle",
    "shorter_step",
    "soonest_event",
    "start_thermostats",
    "thermostat",
]

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

GAS = 8.314462618  # J/mol K, CODATA 2018
DOSE_REFERENCE = 473.15  # K: equivalent time at 200 °C
FIRST_STEP = 5e-3  # s, after a cold mould has met hot platens
CLOSING_STEP = 0.05  # s, after the press has closed and every conductance has changed
SWITCH_STEP = 20.0  # s, after a thermostat has switched: a platen answers slowly
SMALLEST = 1e-10
LONGEST_GROWTH = 3.0
SAFETY = 0.85


@kernel()
def sensor_rate(side, heaters, w):
    """How fast one platen's sensor changes [K/s]."""
    cell = int(heaters[side, SENSOR])
    share = heaters[side, WEIGHT]
    return (1.0 - share) * w[cell, F] + share * w[cell + 1, F]


@kernel()
def dose_rate(run, sheets, w):
    """Seconds at 200 °C that a second at the hotter face is worth."""
    if run[ACTIVATION] <= 0.0 or sheets.shape[0] == 0:
        return 0.0
    bottom, top = faces(sheets, int(run[SHEET]), w)
    return exp(-run[ACTIVATION] / GAS * (1.0 / (max(bottom, top) + 273.15) - 1.0 / DOSE_REFERENCE))


@kernel()
def condition(run, dose, sheets, w):
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
def spent_after(dt, run, sheets, w, w_end, dose_end):
    """When in a step of `dt` the hotter face has had its dose, or passes its limit: the sooner of the two [s].

    Each of them is looked at alone: the one that is nearer at the start of a long step may not be the one that
    is met. The dose is the quadratic through both its ends whose slopes are the rates there, as it is added up.
    """
    found = dt
    left = run[LEVEL] - run[DOSE]
    if dose_end >= run[LEVEL] and left > 0.0:
        rate = dose_rate(run, sheets, w)
        bend = 2.0 * (dose_rate(run, sheets, w_end) - rate) / dt
        found = 2.0 * left / (rate + sqrt(max(rate * rate + bend * left, 0.0)))
    bottom, top = faces(sheets, int(run[SHEET]), w)
    bottom_end, top_end = faces(sheets, int(run[SHEET]), w_end)
    face, face_end = max(bottom, top), max(bottom_end, top_end)
    if face < run[SECOND_LEVEL] <= face_end:
        found = min(found, dt * (run[SECOND_LEVEL] - face) / (face_end - face))
    return min(found, dt)


@kernel()
def thermostat(side, heaters, w):
    """How far a platen's sensor is past its next switching temperature, and the rate of that."""
    rising = heaters[side, ON] > 0.0
    sign = 1.0 if rising else -1.0
    level = heaters[side, SET] + sign * heaters[side, BAND]
    return (
        sign * (sensor(side, heaters, w) - level),
        sign * sensor_rate(side, heaters, w),
    )


@kernel()
def start_thermostats(heaters, w):
    """A thermostat that nobody has set is on while its sensor is below the set-point."""
    for side in range(2):
        if heaters[side, MODE] == ON_OFF and heaters[side, ON] < 0.0:
            heaters[side, ON] = 1.0 if sensor(side, heaters, w) < heaters[side, SET] else 0.0


@kernel()
def soonest_event(dt, run, past, past_rate, new_past, new_rate, dose, sheets, heaters, w, w_end):
    """What happens first in a step of `dt`, and when [s]: 0 or 1 that platen's thermostat, 2 the run's end; else -1."""
    event = -1
    soonest = dt
    if run[STOP] != NEVER and past < 0.0 <= new_past:
        event = 2
        if run[STOP] == FACE_SPENT:
            soonest = spent_after(dt, run, sheets, w, w_end, dose)
        else:
            soonest = crossing(dt, past, past_rate, new_past, new_rate)
    for side in range(2):
        if heaters[side, MODE] == ON_OFF:
            before, before_rate = thermostat(side, heaters, w)
            after, after_rate = thermostat(side, heaters, w_end)
            if before < 0.0 <= after:
                when = crossing(dt, before, before_rate, after, after_rate)
                if event < 0 or when < soonest:
                    event = side
                    soonest = when
    return event, soonest


@kernel()
def shorter_step(dt, size):
    """After a step whose error was `size` tolerances, too many."""
    return dt * max(0.2, SAFETY * size ** (-1.0 / 3.0))


@kernel()
def grown_step(dt, wish, size, log_before, refused):
    """The next step [s] after one of `dt` that was taken, and the logarithm of its error for the one after that.

    `wish`: how long it would have been but for something it had to end at. A controller with memory of the error
    before (Gustafsson 1991): melting cell by cell makes the error jump, and without memory a third of the steps
    would be refused.
    """
    log_size = log(max(size, 1e-6))
    growth = SAFETY * exp((0.4 * log_before - 0.7 * log_size) / 3.0)
    grown = dt * min(1.0 if refused else LONGEST_GROWTH, growth)
    return max(grown, wish) if dt < wish and size < 0.5 and not refused else grown, max(log_size, log(1e-3))


@kernel()
def _boil_off(i, taken, y, memory, cells, p):
    """Take the heat that has gone into steam out of the cell; returns it [J/m2]."""
    spent = min(max(y[i] - boiling_enthalpy(memory, i, p), 0.0), memory[i, 2])
    spent = select(taken, spent, 0.0)
    y[i] -= spent
    memory[i, 2] -= spent
    return spent * cells[CAP, i]


@kernel()
def settle(taken, y, y_new, memory, cells, kind, polymers, w):
    """Make the step's end the state, where it is `taken`: unknowns and memories; returns the steam's heat [J/m2]."""
    steam = 0.0
    for i in range(y.shape[0]):
        y[i] = select(taken, y_new[i], y[i])
        if kind[i] >= 0:
            p = polymers[kind[i]]
            memory[i, 0] = select(taken, w[i, X], memory[i, 0])
            memory[i, 1] = select(taken, w[i, C], memory[i, 1])
            if shared(p[PARTS]) > 0.0:
                remember(w[i, T], memory, i, taken, p)
            if any_of(memory[i, 2] > 0.0):
                steam += _boil_off(i, taken, y, memory, cells, p)
    return steam
