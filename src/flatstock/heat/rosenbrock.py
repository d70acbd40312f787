"""One step of RODAS3 on the column's tridiagonal system, compiled.

Method: RODAS3 (Sandu, Verwer, Blom, Spee, Carmichael & Potra, Atmospheric Environment 31 (1997) 3459;
coefficients from memory, their order conditions are checked in the tests): four stages, third order,
stiffly accurate, with an embedded second-order answer for the step size. It is linearly implicit, so
each stage is one solve with the same factors. Losses and powers are integrated by the same stages from
the same Jacobian entries, which is why stored and passed energy agree to rounding at every step size.

With γ = 1/2 and A = I/(γ dt) - J, the stages are
    A k1 = f(y)                       A k3 = f(y + 2 k1) + (k1 - k2)/dt
    A k2 = f(y) + 4 k1/dt             A k4 = f(y + 2 k1 + k3) + (k1 - k2 - 8/3 k3)/dt
    y_new = y + 2 k1 + k3 + k4,       error = k4
"""

from __future__ import annotations

from math import sqrt

from flatstock.heat.compiling import kernel
from flatstock.heat.lanes import any_of, shared
from flatstock.heat.rates import (
    CAP,
    DT_DY,
    EDGE_LOSS,
    EDGE_SLOPE,
    HEAT_BOTTOM,
    JD,
    JL,
    JU,
    OUT_BOTTOM,
    RIM,
    RIM_LOSS,
    SENSOR,
    STEAM,
    WEIGHT,
    F,
    rates,
)

__all__ = ["FACTOR_COLUMNS", "add_energies", "first_stages", "last_stage", "step", "third_stage"]

GAMMA = 0.5
# columns of the factors
FACTOR, INVERSE, NEXT, SPIKE0, SPIKE1, FACTOR_ABOVE = 0, 1, 2, 3, 4, 5
FACTOR_COLUMNS = 6


@kernel()
def _deep(flows):
    """Whether the power at the bottom, and at the top, follows a sensor deep in its platen."""
    return any_of(flows[HEAT_BOTTOM, 1] > 0.0), any_of(flows[HEAT_BOTTOM + 1, 1] > 0.0)


@kernel()
def _middle(n, heaters, flows):
    """The row at which elimination from below and from above meet; no sensor's entries reach past it."""
    middle = n // 2
    deep_bottom, deep_top = _deep(flows)
    if deep_bottom:
        middle = max(middle, int(shared(heaters[0, SENSOR])) + 1)
    if deep_top:
        middle = min(middle, int(shared(heaters[1, SENSOR])))
    return middle


@kernel()
def _keep(i, place, left, factor, pivot, following, near, far, lu):
    """Keep row `i`, the `place`-th from its end, divided by its pivot; the inverse, and what the next row needs of it.

    `following`: its entry beside the pivot, away from the end. `near` and `far`: the sensor's entries as they have
    travelled to the row before. `left`: rows to the nearer of the sensor's cells, negative past it or without one.
    """
    spike0 = spike1 = 0.0
    if left >= 0:
        if place > 0:
            near, far = -factor * near, -factor * far
        if left == 0:
            pivot, following = pivot + near, following + far
        elif left == 1:
            following, near, spike1 = following + near, 0.0, far
        else:
            spike0, spike1 = near, far
    inverse = 1.0 / pivot
    lu[i, FACTOR] = factor
    lu[i, INVERSE] = inverse
    lu[i, NEXT] = following * inverse
    lu[i, SPIKE0] = spike0 * inverse
    lu[i, SPIKE1] = spike1 * inverse
    return inverse, following, near, far


@kernel()
def _factorise(dt, middle, cells, heaters, flows, w, lu):
    """Factors of I/(γ dt) - J, eliminated from both ends at once; rows are kept divided by their pivots.

    From one end each row waits for the one before, which took a third of a step; the two halves don't wait for
    each other. A sensor deep in a platen gives that platen's outermost row two entries outside the band: they
    travel along as a spike until they meet the band.
    """
    n = w.shape[0]
    shift = 1.0 / (GAMMA * dt)
    low = int(shared(heaters[0, SENSOR]))  # the sensor lies between the cells `low` and `low` + 1
    high = int(shared(heaters[1, SENSOR])) + 1  # and the other between `high` and `high` - 1
    gain, top_gain = flows[HEAT_BOTTOM, 1] / cells[CAP, 0], flows[HEAT_BOTTOM + 1, 1] / cells[CAP, n - 1]
    near, far = gain * (1.0 - heaters[0, WEIGHT]), gain * heaters[0, WEIGHT]
    top_near, top_far = top_gain * heaters[1, WEIGHT], top_gain * (1.0 - heaters[1, WEIGHT])
    inverse = upper = top_inverse = lower = 0.0
    above = n - 1 - middle
    deep_bottom, deep_top = _deep(flows)
    for place in range(max(middle, above)):
        if place < middle:
            i = place
            factor = -w[i, JL] * inverse
            pivot = shift - w[i, JD] - factor * upper
            left = low - place if deep_bottom else -1
            inverse, upper, near, far = _keep(i, place, left, factor, pivot, -w[i, JU], near, far, lu)
        if place < above:
            i = n - 1 - place
            factor = -w[i, JU] * top_inverse
            pivot = shift - w[i, JD] - factor * lower
            left = i - high if deep_top else -1
            top_inverse, lower, top_near, top_far = _keep(
                i, place, left, factor, pivot, -w[i, JL], top_near, top_far, lu
            )
    i = middle
    lu[i, FACTOR] = -w[i, JL] * inverse
    lu[i, FACTOR_ABOVE] = -w[i, JU] * top_inverse
    lu[i, INVERSE] = 1.0 / (shift - w[i, JD] - lu[i, FACTOR] * upper - lu[i, FACTOR_ABOVE] * lower)


@kernel()
def _solve(b, middle, heaters, deep_bottom, deep_top, lu):
    """Solve in place for the right-hand side `b` (n,)."""
    n = b.shape[0]
    low, high = int(shared(heaters[0, SENSOR])), int(shared(heaters[1, SENSOR])) + 1
    above = n - 1 - middle
    below_last = above_last = 0.0
    for place in range(max(middle, above)):
        if place < middle:
            below_last = b[place] - lu[place, FACTOR] * below_last
            b[place] = below_last
        if place < above:
            i = n - 1 - place
            above_last = b[i] - lu[i, FACTOR] * above_last
            b[i] = above_last
    below_last = (b[middle] - lu[middle, FACTOR] * below_last - lu[middle, FACTOR_ABOVE] * above_last) * lu[
        middle, INVERSE
    ]
    above_last = below_last
    b[middle] = below_last
    for place in range(max(middle, above)):
        if place < middle:
            i = middle - 1 - place
            below_last = b[i] * lu[i, INVERSE] - lu[i, NEXT] * below_last
            if deep_bottom and i < low:
                below_last -= lu[i, SPIKE0] * b[low] + lu[i, SPIKE1] * b[low + 1]
            b[i] = below_last
        if place < above:
            i = middle + 1 + place
            above_last = b[i] * lu[i, INVERSE] - lu[i, NEXT] * above_last
            if deep_top and i > high:
                above_last -= lu[i, SPIKE0] * b[high] + lu[i, SPIKE1] * b[high - 1]
            b[i] = above_last


@kernel()
def _gain(j, stage, cells, heaters, flows, w, k):
    """How much the flow `j` grows with the stage's change, by the slopes at the step's start."""
    n = w.shape[0]
    gain = 0.0
    if j == EDGE_LOSS:
        for i in range(n):
            gain += w[i, EDGE_SLOPE] * k[stage, i]
    elif j == RIM_LOSS:
        for i in range(n):
            gain += cells[RIM, i] * w[i, DT_DY] * k[stage, i]
    elif j >= OUT_BOTTOM:
        gain = flows[j, 1] * k[stage, 0 if j == OUT_BOTTOM else n - 1]
    elif any_of(flows[j, 1] > 0.0):
        at = int(shared(heaters[j - HEAT_BOTTOM, SENSOR]))
        share = heaters[j - HEAT_BOTTOM, WEIGHT]
        gain = -flows[j, 1] * ((1.0 - share) * k[stage, at] + share * k[stage, at + 1])
    return gain


@kernel()
def add_energies(dt, every, cells, heaters, flows, w, k, powers, total):
    """Add what a step has passed by every loss and power to `total` (FLOWS,) [J/m2]; not `every`: by heaters alone.

    The same four stages as for the cells, after the step is accepted: `flows` and `w` are those of its
    start, `k` (4, n) its stages, `powers` (2, FLOWS) the powers at its third and fourth stage [W/m2].
    """
    per_dt = 1.0 / dt
    half = GAMMA * dt
    for j in range(STEAM if every else OUT_BOTTOM):
        first = half * (flows[j, 0] + _gain(j, 0, cells, heaters, flows, w, k))
        second = half * (flows[j, 0] + _gain(j, 1, cells, heaters, flows, w, k) + 4.0 * per_dt * first)
        memory = per_dt * (first - second)
        third = half * (powers[0, j] + _gain(j, 2, cells, heaters, flows, w, k) + memory)
        memory -= (8.0 / 3.0) * per_dt * third
        fourth = half * (powers[1, j] + _gain(j, 3, cells, heaters, flows, w, k) + memory)
        total[j] += 2.0 * first + third + fourth


@kernel()
def first_stages(dt, y, cells, heaters, w, flows, lu, k, y_new):
    """Factors, the first two stages, and where the third is looked for; returns the row at which elimination meets."""
    n = y.shape[0]
    deep_bottom, deep_top = _deep(flows)
    middle = _middle(n, heaters, flows)
    _factorise(dt, middle, cells, heaters, flows, w, lu)
    for i in range(n):
        k[0, i] = w[i, F]
    _solve(k[0], middle, heaters, deep_bottom, deep_top, lu)
    per_dt = 1.0 / dt
    for i in range(n):
        k[1, i] = w[i, F] + 4.0 * per_dt * k[0, i]
    _solve(k[1], middle, heaters, deep_bottom, deep_top, lu)
    for i in range(n):
        y_new[i] = y[i] + 2.0 * k[0, i]
    return middle


@kernel()
def third_stage(dt, middle, heaters, flows, lu, k, stage, stage_flows, powers, y_new):
    """The third stage from the rates in `stage`, and where the last is looked for."""
    n = y_new.shape[0]
    deep_bottom, deep_top = _deep(flows)
    per_dt = 1.0 / dt
    for j in range(STEAM):
        powers[0, j] = stage_flows[j, 0]
    for i in range(n):
        k[2, i] = stage[i, F] + (k[0, i] - k[1, i]) * per_dt
    _solve(k[2], middle, heaters, deep_bottom, deep_top, lu)
    for i in range(n):
        y_new[i] += k[2, i]


@kernel()
def last_stage(dt, middle, heaters, flows, lu, k, stage, stage_flows, powers, y_new):
    """The last stage and the step's end; returns the error [K]."""
    n = y_new.shape[0]
    deep_bottom, deep_top = _deep(flows)
    per_dt = 1.0 / dt
    for j in range(STEAM):
        powers[1, j] = stage_flows[j, 0]
    for i in range(n):
        k[3, i] = stage[i, F] + (k[0, i] - k[1, i] - (8.0 / 3.0) * k[2, i]) * per_dt
    _solve(k[3], middle, heaters, deep_bottom, deep_top, lu)
    total = 0.0
    for i in range(n):
        y_new[i] += k[3, i]
        off = k[3, i] * stage[i, DT_DY]
        total += off * off
    return sqrt(total / n)


@kernel()
def step(
    dt, y, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed, w, flows, lu,
    k, stage, stage_flows, powers, y_new,
):  # fmt: skip
    """Take one step of `dt` from `y`, whose state and Jacobian stand in `w`; returns the error [K].

    Writes y_new (n,), and for `add_energies` the stages `k` (4, n) and `powers` (2, FLOWS).
    The error is the root mean square over all cells of the embedded difference, as temperature.
    """
    middle = first_stages(dt, y, cells, heaters, w, flows, lu, k, y_new)
    rates(
        y_new, w, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed, False,
        stage, stage_flows,
    )  # fmt: skip
    third_stage(dt, middle, heaters, flows, lu, k, stage, stage_flows, powers, y_new)
    rates(
        y_new, stage, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed,
        False, stage, stage_flows,
    )  # fmt: skip
    return last_stage(dt, middle, heaters, flows, lu, k, stage, stage_flows, powers, y_new)
