"""Many columns of one layout marched side by side, WIDTH at once, each with its own clock; compiled.

Every lane holds a column. All lanes take a step together, each of its own length; a lane whose error is too large, or
that has to end at an event, tries again while the others go on, and a lane whose column is done takes the next one.
Nothing passes between lanes, so a column's answer doesn't depend on its company. Steps, events and their control are
those of `march`.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import boolean, float64, int64, types

from flatstock.heat.blend_laws import enthalpy_of_cell
from flatstock.heat.lane_step import fill_lanes, rates_of_lanes, settle_lanes, step_of_lanes, take_over
from flatstock.heat.lanes import NODE, WIDTH
from flatstock.heat.laws import TABLE_RATE
from flatstock.heat.points import faces
from flatstock.heat.rates import (
    CAP,
    DT_DY,
    FLOWS,
    HEAT_BOTTOM,
    HEAT_TOP,
    LIMIT,
    MODE,
    ON,
    ON_OFF,
    STATE_COLUMNS,
    F,
    T,
    Y,
    sensor,
)
from flatstock.heat.rosenbrock import FACTOR_COLUMNS
from flatstock.heat.steering import (
    CLOSE,
    CLOSING_STEP,
    DOSE,
    END,
    FACE_SPENT,
    FIRST_STEP,
    LEVEL,
    NEVER,
    PRESSED,
    ROOM,
    RUN,
    SECOND_LEVEL,
    SHEET,
    SMALLEST,
    STEPS,
    STOP,
    SWITCH_STEP,
    TIME,
    TOLERANCE,
    condition,
    dose_rate,
    grown_step,
    sensor_rate,
    shorter_step,
    soonest_event,
    start_thermostats,
    thermostat,
)
from flatstock.heat.tables import NODE_VALUES, join_nodes

__all__ = ["LATEST", "LOW_BOTTOM", "LOW_TOP", "REACHED", "RESULTS", "march_lanes", "room_to_work"]

Array = NDArray[Any]

#: of a column: when its first condition was met, and its second; lowest of each sensor until the first
REACHED, LATEST, LOW_BOTTOM, LOW_TOP = 0, 1, 2, 3
RESULTS = 4
#: steps to either condition after which a column is given up
MOST_STEPS = 4000
# numbers of a lane: its next step as wished, tries at this one, what this one ends at, whether one was refused; the
# condition, its rate, the face's clock and the error before, and those after the try; when the face is spent and
# how hot it was; instants of the grid that are done and heat drawn; condition it is at, steps to it, whether its
# contacts have just changed; each sensor and its rate
(
    WISH, TRIES, EVENT, REFUSED, PAST, PAST_RATE, DOSE_RATE, LOG_BEFORE, NEW_DOSE, NEW_DOSE_RATE, NEW_PAST,
    NEW_PAST_RATE, SIZE, SPENT, FACED, AT, HEATED, TURN, TURN_STEPS, CHANGED, SENSED,
) = range(21)  # fmt: skip
SENSED_RATE = SENSED + 2
LANE_NUMBERS = SENSED_RATE + 2


@kernel()
def _into_lane(numbers, lane, of_all):
    """Numbers (a, b) of one column into the array (a, b, WIDTH) of all lanes; no slice, which would allocate."""
    for i in range(numbers.shape[0]):
        for j in range(numbers.shape[1]):
            of_all[i, j, lane] = numbers[i, j]


@kernel(apart=True)
def _look(lane, run, state, sheets, now):
    """How far the run is past what ends it, and the rate of that, at a step's start."""
    state[lane, PAST], state[lane, PAST_RATE] = condition(run, run[DOSE], sheets, now)


@kernel(apart=True)
def _load(b, lane, temperature, kind, memory, joints, polymers, ends, heaters, edge, runs, nodes, place, all_y,
          all_memory, all_joints, all_polymers, all_tables, all_ends, all_heaters, all_edge, run, now):  # fmt: skip
    """Column `b` into a lane; its tables' nodes stand at `place`."""
    _into_lane(memory, lane, all_memory)
    _into_lane(joints[b], lane, all_joints)
    _into_lane(polymers[b], lane, all_polymers)
    _into_lane(ends[b], lane, all_ends)
    _into_lane(heaters[b], lane, all_heaters)
    all_edge[0, lane] = edge[b]
    for j in range(runs.shape[1]):
        run[lane, j] = runs[b, j]
    for i in range(len(kind)):
        t = temperature[b, i]
        now[i, T, lane], now[i, DT_DY, lane], now[i, Y, lane] = t, 0.0, 0.0
        all_y[i, lane] = t if kind[i] < 0 else enthalpy_of_cell(t, memory, i, polymers[b, kind[i]])
    for p in range(polymers.shape[1]):
        join_nodes(1.0 / polymers[b, p, TABLE_RATE], nodes[p, :, :, place], all_tables[p, lane])


@kernel()
def _lowest(state, lane, dt, side, value, rate, results):
    """The lowest of a sensor so far: at the step's end, or at the vertex of the parabola with the rates at both."""
    low = min(results[LOW_BOTTOM + side], value)
    before = state[lane, SENSED_RATE + side]
    if before < 0.0 < rate:
        low = min(low, state[lane, SENSED + side] + 0.5 * before * before * dt / (before - rate))
    results[LOW_BOTTOM + side] = low
    state[lane, SENSED + side], state[lane, SENSED_RATE + side] = value, rate


@kernel()
def _spent_within(before, dt, dose_before, dose, face_before, face, dose_level, face_level):
    """First instant at which the hotter face has had its dose or stands above its limit; nan: not in this step.

    Straight through the step, each of the two alone: the nearer one at its end may not be the one that is met.
    """
    if dose < dose_level and face < face_level:
        return np.nan
    share = 1.0
    if dose >= dose_level:
        share = (dose_level - dose_before) / (dose - dose_before)
    if face >= face_level:
        share = min(share, (face_level - face_before) / (face - face_before))
    return before + share * dt


@kernel()
def _on_grid(lane, before, time, drawn, state, grid, energy):
    """Heat drawn at the instants of the grid that a step from `before` to `time` passes."""
    at = int(state[lane, AT])
    while at < len(grid) and grid[at] <= time:
        share = (grid[at] - before) / (time - before) if time > before else 1.0
        energy[at] = state[lane, HEATED] + (drawn - state[lane, HEATED]) * share
        at += 1
    state[lane, AT], state[lane, HEATED] = at, drawn


@kernel()
def _begin(lane, run, state, sheets, heaters, now, levels, results):
    """The first look at a column that has just been loaded."""
    for j in range(LANE_NUMBERS):
        state[lane, j] = 0.0
    state[lane, WISH] = FIRST_STEP
    state[lane, EVENT] = -1.0
    state[lane, SPENT] = np.nan
    for side in range(2):
        value, rate = sensor(side, heaters, now), sensor_rate(side, heaters, now)
        results[LOW_BOTTOM + side] = value
        state[lane, SENSED + side], state[lane, SENSED_RATE + side] = value, rate
    if sheets.shape[0] > 0:
        bottom, top = faces(sheets, int(run[SHEET]), now)
        state[lane, FACED] = max(bottom, top)
        if state[lane, FACED] >= levels[1] or run[DOSE] >= levels[0]:
            state[lane, SPENT] = run[TIME]
    state[lane, DOSE_RATE] = dose_rate(run, sheets, now)


@kernel()
def _next_turn(lane, run, state, levels, ends_at):
    """After melt-through: until the face is spent, or, if it is already, as long as energies are wanted."""
    state[lane, TURN] = 1.0
    state[lane, TURN_STEPS] = 0.0
    state[lane, LOG_BEFORE] = 0.0
    if isfinite(state[lane, SPENT]):
        run[STOP], run[END] = NEVER, max(run[TIME], min(run[END], ends_at))
    else:
        run[STOP], run[LEVEL], run[SECOND_LEVEL] = FACE_SPENT, levels[0], levels[1]


@kernel(apart=True)
def _judge(lane, dt, error, run, state, sheets, heaters, now, then):
    """Whether a try is the step: 1; 0: again with the length that is written to `dt`; -1: there is none."""
    state[lane, TRIES] += 1.0
    size = error / run[TOLERANCE]
    found = 0
    if not isfinite(size):
        dt[lane] *= 0.1
    elif size > 1.0 and state[lane, EVENT] < 0.0:
        dt[lane] = shorter_step(dt[lane], size)
        state[lane, REFUSED] = 1.0
    else:
        new_rate = dose_rate(run, sheets, then)
        dose = run[DOSE] + 0.5 * dt[lane] * (state[lane, DOSE_RATE] + new_rate)
        past, past_rate = condition(run, dose, sheets, then)
        state[lane, NEW_DOSE], state[lane, NEW_DOSE_RATE] = dose, new_rate
        state[lane, NEW_PAST], state[lane, NEW_PAST_RATE], state[lane, SIZE] = past, past_rate, size
        found = 1
        if state[lane, EVENT] < 0.0:
            event, soonest = soonest_event(
                dt[lane], run, state[lane, PAST], state[lane, PAST_RATE], past, past_rate, dose, sheets, heaters, now,
                then,
            )  # fmt: skip
            state[lane, EVENT] = event
            if event >= 0 and soonest <= dt[lane] * (1.0 - 1e-9):
                dt[lane] = max(soonest, SMALLEST)
                found = 0
    if found == 0 and (dt[lane] < SMALLEST or state[lane, TRIES] >= 80.0):
        return -1
    return found


@kernel()
def _switch(lane, wish, run, state, heaters, cells, now, flows, closed):
    """What happens at the step's end: thermostats, which only change their power, and closing: True, rates change."""
    n = now.shape[0]
    for side in range(2):
        if heaters[side, MODE] != ON_OFF:
            continue
        # two events of one step may lie so near each other that its end, shortened to the first, is past both
        if state[lane, EVENT] == side or thermostat(side, heaters, now)[0] >= 0.0:
            heaters[side, ON] = 1.0 - heaters[side, ON]
            power = heaters[side, LIMIT] if heaters[side, ON] > 0.0 else 0.0
            cell = 0 if side == 0 else n - 1
            now[cell, F] += (power - flows[HEAT_BOTTOM + side, 0]) / cells[CAP, cell]
            flows[HEAT_BOTTOM + side, 0] = power
            state[lane, WISH] = min(max(state[lane, WISH], wish), SWITCH_STEP)
    if closed[0, lane] == 0.0 and run[TIME] >= run[CLOSE] - 1e-9:
        closed[0, lane] = 1.0
        state[lane, WISH] = min(state[lane, WISH], CLOSING_STEP)
        return True
    return False


_F1, _F2, _F3, _F4 = float64[::1], float64[:, ::1], float64[:, :, ::1], float64[:, :, :, ::1]
_I1, _I2 = int64[::1], int64[:, ::1]
_WORK = types.Tuple(
    (_F2, _F3, _F3, _F3, _F4, _F3, _F3, _F2, _F2, _F2, _F3, _F3, _F3, _F3, _F3, _F3, _F3, _F2, _F2, _F2, _F2, _F2, _F2,
     _F1, _I1, _I1, _F4, _F3, _F3)
)  # fmt: skip


def room_to_work(
    n: int, parts: int, joints: int, plastics: int, row: int, table_nodes: int
) -> tuple[Array, ...]:
    """What `march_lanes` works in: for n cells, memories of `parts` numbers, tables of `table_nodes`."""
    lanes = WIDTH
    state = (n, STATE_COLUMNS, lanes)
    shapes = (
        (n, lanes), (n, parts, lanes), (5, joints, lanes), (plastics, row, lanes),
        (plastics, lanes, table_nodes, NODE), (2, 7, lanes), (2, 8, lanes), (1, lanes), (lanes, RUN),
        (lanes, LANE_NUMBERS), state, state, (FLOWS, 2, lanes), (FLOWS, 2, lanes), (n, FACTOR_COLUMNS, lanes),
        (4, n, lanes), (2, FLOWS, lanes), (n, lanes), (1, lanes), (1, lanes), (FLOWS, lanes), (1, lanes), (1, lanes),
        (lanes,),
    )  # fmt: skip
    floats = [np.zeros(shape) for shape in shapes]
    indices = [np.zeros(lanes, dtype=np.int64) for _ in range(2)]
    fresh = [
        np.zeros(shape)
        for shape in ((plastics, table_nodes, NODE_VALUES, lanes), (plastics, row, lanes), (1, parts, lanes))
    ]
    return (*floats, *indices, *fresh)


@kernel(
    types.void(
        int64, int64, _I1, _F2, _I2, _F2, _F2, _F3, _F3, _F3, _F3, _F1, _F2, _F1, boolean, _F1, _F2, _F2, _F2, _WORK
    ),
    borrows=True,
)  # fmt: skip
def march_lanes(
    first: int,
    last: int,
    kind: np.ndarray,
    cells: np.ndarray,
    sheets: np.ndarray,
    temperature: np.ndarray,
    memory: np.ndarray,
    joints: np.ndarray,
    polymers: np.ndarray,
    ends: np.ndarray,
    heaters: np.ndarray,
    edge: np.ndarray,
    runs: np.ndarray,
    levels: np.ndarray,
    two: bool,
    grid: np.ndarray,
    results: np.ndarray,
    energy: np.ndarray,
    reached: np.ndarray,
    work: tuple[np.ndarray, ...],
) -> None:
    """March the columns `first` … `last` - 1, each from temperature (B, n) by runs (B, RUN) to its end or condition.

    kind, cells, sheets, memory: of the layout; joints, polymers, ends, heaters, edge (B, …): of each column. Kinds of
    joints and ends and the place of sensors are those of the first column. `two`: after the first condition until
    the hotter face has had levels[0] seconds at 200 °C or stands above levels[1] [°C].
    Into results (B, RESULTS); energy (B, g): heat drawn at the instants of `grid` [J/m2]; reached (B, n): the
    temperatures at its end. work: `room_to_work`, with tables that have the rate that `polymers` say.
    """
    if last <= first:
        return
    (
        all_y, all_memory, all_joints, all_polymers, all_tables, all_ends, all_heaters, all_edge, run, state, now, then,
        flows, then_flows, lu, k, powers, y_new, dt, error, passed, closed, taken, total, column, ending, nodes,
        fresh_polymers, fresh_memory,
    ) = work  # fmt: skip
    n = len(kind)
    following = first
    ends_at = grid[len(grid) - 1] if len(grid) > 0 else 0.0
    sloped = last > first  # always; see `step_of_lanes`
    room, pressed = runs[first, ROOM], runs[first, PRESSED] > 0.0
    for lane in range(WIDTH):
        column[lane] = -1
    started = False
    while True:
        # lanes without a column take the next one; at the very start those without any hold a copy, for show
        looked_at = False
        for lane in range(WIDTH):
            taken[0, lane] = 0.0
            if column[lane] >= 0 or (following >= last and started):
                continue
            b = min(following, last - 1)
            if following < last and (following - first) % WIDTH == 0:
                for j in range(WIDTH):
                    _into_lane(polymers[min(following + j, last - 1)], j, fresh_polymers)
                fill_lanes(fresh_polymers, fresh_memory, nodes)
            _load(
                b, lane, temperature, kind, memory, joints, polymers, ends, heaters, edge, runs, nodes,
                (b - first) % WIDTH, all_y, all_memory, all_joints, all_polymers, all_tables, all_ends, all_heaters,
                all_edge, run, now,
            )  # fmt: skip
            start_thermostats(all_heaters[:, :, lane], now[:, :, lane])
            closed[0, lane] = 1.0 if run[lane, TIME] >= run[lane, CLOSE] else 0.0
            dt[0, lane] = FIRST_STEP
            total[lane] = 0.0
            taken[0, lane] = 2.0
            looked_at = True
            if following < last:
                column[lane] = b
                following += 1
        started = True
        for lane in range(WIDTH):
            if column[lane] >= 0 and state[lane, CHANGED] > 0.0:  # its contacts have just changed
                taken[0, lane] = max(taken[0, lane], 1.0)
                looked_at = True
        if looked_at:
            rates_of_lanes(
                all_y, now, kind, all_memory, cells, all_joints, all_polymers, all_tables, all_ends, all_heaters,
                all_edge, room, closed, pressed, sloped, then, then_flows,
            )  # fmt: skip
            take_over(taken, then, then_flows, now, flows)
        busy = False
        for lane in range(WIDTH):
            b = column[lane]
            ending[lane] = 0
            if b < 0:
                continue
            now_here = now[:, :, lane]
            if taken[0, lane] > 0.0:
                if taken[0, lane] > 1.0:
                    _begin(
                        lane, run[lane], state, sheets, all_heaters[:, :, lane], now_here, levels, results[b]
                    )
                    _on_grid(lane, run[lane, TIME], run[lane, TIME], 0.0, state, grid, energy[b])
                state[lane, CHANGED] = 0.0
                _look(lane, run[lane], state, sheets, now_here)
                if taken[0, lane] > 1.0 and run[lane, STOP] != NEVER and state[lane, PAST] >= 0.0:
                    ending[lane] = 2
            if ending[lane] == 0 and state[lane, TRIES] == 0.0:
                if run[lane, END] - run[lane, TIME] <= 1e-9 or state[lane, TURN_STEPS] >= MOST_STEPS:
                    ending[lane] = 1
                else:
                    dt[0, lane] = min(state[lane, WISH], run[lane, END] - run[lane, TIME])
                    if closed[0, lane] == 0.0:
                        dt[0, lane] = min(dt[0, lane], run[lane, CLOSE] - run[lane, TIME])
                    state[lane, EVENT], state[lane, REFUSED] = -1.0, 0.0
            busy = busy or ending[lane] == 0
        if busy:
            step_of_lanes(
                dt, all_y, kind, all_memory, cells, all_joints, all_polymers, all_tables, all_ends, all_heaters,
                all_edge, room, closed, pressed, now, flows, lu, k, then, then_flows, powers, y_new, error, passed,
            )  # fmt: skip
            rates_of_lanes(
                y_new, then, kind, all_memory, cells, all_joints, all_polymers, all_tables, all_ends, all_heaters,
                all_edge, room, closed, pressed, sloped, then, then_flows,
            )  # fmt: skip
            for lane in range(WIDTH):
                taken[0, lane] = 0.0
                if column[lane] < 0 or ending[lane] != 0:
                    continue
                verdict = _judge(
                    lane, dt[0], error[0, lane], run[lane], state, sheets, all_heaters[:, :, lane], now[:, :, lane],
                    then[:, :, lane],
                )  # fmt: skip
                if verdict < 0:
                    ending[lane] = 1
                elif verdict > 0:
                    taken[0, lane] = 1.0
            settle_lanes(taken, all_y, y_new, all_memory, cells, kind, all_polymers, then)
            take_over(taken, then, then_flows, now, flows)
            for lane in range(WIDTH):
                if taken[0, lane] == 0.0:
                    continue
                b = column[lane]
                own_heaters, then_here = all_heaters[:, :, lane], then[:, :, lane]
                before, dose_before, length = run[lane, TIME], run[lane, DOSE], dt[0, lane]
                run[lane, TIME] += length
                run[lane, STEPS] += 1.0
                run[lane, DOSE] = state[lane, NEW_DOSE]
                state[lane, TURN_STEPS] += 1.0
                state[lane, TRIES] = 0.0
                total[lane] += passed[HEAT_BOTTOM, lane] + passed[HEAT_TOP, lane]
                _on_grid(lane, before, run[lane, TIME], total[lane], state, grid, energy[b])
                if two and state[lane, TURN] == 0.0:
                    for side in range(2):
                        value, rate = (
                            sensor(side, own_heaters, then_here),
                            sensor_rate(side, own_heaters, then_here),
                        )
                        _lowest(state, lane, length, side, value, rate, results[b])
                    bottom, top = faces(sheets, int(run[lane, SHEET]), then_here)
                    face = max(bottom, top)
                    if not isfinite(state[lane, SPENT]):
                        state[lane, SPENT] = _spent_within(
                            before,
                            length,
                            dose_before,
                            run[lane, DOSE],
                            state[lane, FACED],
                            face,
                            levels[0],
                            levels[1],
                        )
                    state[lane, FACED] = face
                wish = state[lane, WISH]
                grown, state[lane, LOG_BEFORE] = grown_step(
                    length, wish, state[lane, SIZE], state[lane, LOG_BEFORE], state[lane, REFUSED] > 0.0
                )
                state[lane, WISH] = grown
                stopped = state[lane, EVENT] == 2.0 or state[lane, PAST] < 0.0 <= state[lane, NEW_PAST]
                state[lane, PAST], state[lane, PAST_RATE] = state[lane, NEW_PAST], state[lane, NEW_PAST_RATE]
                state[lane, DOSE_RATE] = state[lane, NEW_DOSE_RATE]
                ending[lane] = 2 if stopped else 0
                if _switch(
                    lane,
                    wish,
                    run[lane],
                    state,
                    own_heaters,
                    cells,
                    now[:, :, lane],
                    flows[:, :, lane],
                    closed,
                ):
                    state[lane, CHANGED] = 1.0
        for lane in range(WIDTH):
            if ending[lane] == 0:
                continue
            b = column[lane]
            turn = 0 if state[lane, TURN] == 0.0 else 1
            results[b, turn] = run[lane, TIME] if ending[lane] == 2 else np.nan
            if two and turn == 0 and ending[lane] == 2:
                _next_turn(lane, run[lane], state, levels, ends_at)
                _look(lane, run[lane], state, sheets, now[:, :, lane])
                continue
            if ending[lane] == 1:
                results[b, LATEST] = np.nan
            if isfinite(state[lane, SPENT]):
                results[b, LATEST] = state[lane, SPENT]
            for i in range(n):
                reached[b, i] = now[i, T, lane]
            column[lane] = -1
        done = following >= last
        for lane in range(WIDTH):
            done = done and column[lane] < 0
        if done:
            return
