"""Right-hand side of the column's heat balance and its tridiagonal Jacobian, compiled.

Balance and fluxes: docs/heat.md, "Balance"; heat flux positive upwards, cells from bottom to top, every
extensive number per m2 of mould. The unknown of a metal cell is its temperature, of a plastic cell its
specific enthalpy. The same flux enters one cell and leaves its neighbour, and so does its derivative:
energy closes to rounding, whatever the step.
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from flatstock.heat.blend_laws import (
    blend_at,
    blend_conduction,
    boiling_enthalpy,
    mean_melted,
    mean_melting_slope,
    mean_played,
)
from flatstock.heat.compiling import kernel
from flatstock.heat.lanes import all_of, any_of, nodes_of, select, shared, whole
from flatstock.heat.laws import (
    BOILING,
    KL0,
    KS0,
    KS1,
    MELT_RATE,
    PARTS,
    REFERENCE,
    STEFAN_BOLTZMANN,
    TABLE_RATE,
    TABLE_START,
    TM1,
    VL0,
    VL1,
    VOID,
    VS0,
    VS1,
    bed_conductivity,
    frozen,
    melted,
    specific_enthalpy,
    state_at,
)

__all__ = ["outer_loss", "rates", "rates_apart", "sensor"]

# rows of `cells`
CAP, HALF, HEIGHT, EDGE, RIM = 0, 1, 2, 3, 4
# rows of `joints`: kind, then conductance loose and wet, before and after the press closes
KIND, OPEN, OPEN_WET, CLOSED, CLOSED_WET = 0, 1, 2, 3, 4
INSIDE, CONTACT, PLASTIC_ABOVE, PLASTIC_BELOW = 0, 1, 2, 3
# columns of `ends`
END_KIND, FILM, OUTSIDE, NATURAL, POWER, RADIATION, SCALE = 0, 1, 2, 3, 4, 5, 6
INSULATED, FIXED_FILM, STILL_AIR = 0, 1, 2
# columns of `heaters`
MODE, SET, GAIN, LIMIT, BAND, ON, SENSOR, WEIGHT = 0, 1, 2, 3, 4, 5, 6, 7
NO_HEATER, PROPORTIONAL, ON_OFF = 0, 1, 2
# rows of a state array: what follows from the unknowns, one column a cell
(
    T,
    DT_DY,
    X,
    C,
    VOLUME,
    HALF_NOW,
    HALF_SLOPE,
    HEATING,
    PHI,
    DPHI,
    EDGE_RATE,
    EDGE_SLOPE,
    F,
    JL,
    JD,
    JU,
    FLUX,
    HEIGHT_SLOPE,
    Y,
) = range(19)
STATE_COLUMNS = 19
# columns of `flows`: power or loss and the energy that has passed
HEAT_BOTTOM, HEAT_TOP, OUT_BOTTOM, OUT_TOP, EDGE_LOSS, RIM_LOSS, STEAM = 0, 1, 2, 3, 4, 5, 6
FLOWS = 7
WATER_LATENT = 2.26e6  # J/kg at 100 °C and 1 bar, steam tables


@kernel()
def outer_loss(t_cell: float, half: float, end: np.ndarray) -> tuple[float, float]:
    """Heat lost through an outer face [W/m2 of mould] and its derivative to the outermost cell's temperature.

    Still air: q = h_n |ΔT|^p ΔT + ε σ (T⁴ - T_room⁴) at the true face temperature, found by Newton's method
    from the half resistance of the outermost cell.
    """
    kind = shared(end[END_KIND])
    if kind == INSULATED:
        return 0.0 * half, 0.0 * half
    if kind == FIXED_FILM:
        u = 1.0 / (1.0 / (end[SCALE] * end[FILM]) + half)
        return u * (t_cell - end[OUTSIDE]), u
    face = t_cell
    q = 0.0
    slope = 0.0
    room2 = (end[OUTSIDE] + 273.15) * (end[OUTSIDE] + 273.15)
    for _ in range(12):
        rise = face - end[OUTSIDE]
        if shared(end[POWER]) == 0.25:
            natural = end[NATURAL] * sqrt(sqrt(abs(rise)))
        else:
            natural = end[NATURAL] * abs(rise) ** end[POWER]
        tk = face + 273.15
        tk2 = tk * tk
        radiant = end[RADIATION] * STEFAN_BOLTZMANN
        q = end[SCALE] * (natural * rise + radiant * (tk2 * tk2 - room2 * room2))
        slope = end[SCALE] * (natural * (1.0 + end[POWER]) + 4.0 * radiant * tk2 * tk)
        change = (t_cell - face - half * q) / (1.0 + half * slope)
        moving = abs(change) >= 1e-6  # one that has arrived stays where it would have stopped alone
        if not any_of(moving):
            q += slope * change
            break
        face = select(moving, face + change, face)
    return q, slope / (1.0 + half * slope)


@kernel()
def _heating_cell(i, y, mass, memory, pressed, sloped, p, nodes, table, w):
    """A plastic cell on the heating branch, where X = C = X_m(T), from the table; where it is there.

    One that holds water is there until the water boils, as long as nothing in it has melted.
    """
    place = (y - p[TABLE_START]) * p[TABLE_RATE]
    known = (place >= 0.0) & (place < nodes - 1.0)
    if not any_of(known):
        return known
    place = select(known, place, 0.0)
    node = whole(place)
    s = place - node
    # cubics of temperature and potential, and their slopes, so that the Jacobian is exact
    t0, t1, t2, t3, phi0, phi1, phi2, phi3, v0, v1, _, _ = nodes_of(table, node)
    t = t0 + s * (t1 + s * (t2 + s * t3))
    x = mean_melted(t, p)
    known = known & (memory[i, 0] <= x) & (memory[i, 1] <= x)
    if not pressed:
        known = known & (x == memory[i, 1])
    w[i, T] = t
    w[i, DT_DY] = p[TABLE_RATE] * (t1 + s * (2.0 * t2 + s * (3.0 * t3)))
    w[i, X] = x
    w[i, C] = x
    w[i, PHI] = phi0 + s * (phi1 + s * (phi2 + s * phi3))
    w[i, DPHI] = p[TABLE_RATE] * (phi1 + s * (2.0 * phi2 + s * (3.0 * phi3)))
    w[i, VOLUME] = v0 + s * v1
    if sloped:
        w[i, HEIGHT_SLOPE] = mass * v1 * p[TABLE_RATE]
    # the half resistance (`_half`) counts at the skins only, where its slope is left out: it moves slowly there
    w[i, HALF_SLOPE] = 0.0
    moist = memory[i, 2] > 0.0
    if any_of(moist):
        known = known & ((memory[i, 2] <= 0.0) | ((t <= BOILING) & (x == 0.0)))
        # k = dPhi/dT v; of its slope only that of the volume counts in loose flake, as in `_plastic_cell`
        share = 0.5 * mass / (w[i, DPHI] * w[i, VOLUME])
        w[i, HALF_NOW] = share * w[i, DT_DY] * w[i, VOLUME]
        w[i, HALF_SLOPE] = select(moist, share * v1 * p[TABLE_RATE], 0.0)
    return known


@kernel()
def _plastic_cell(i, y, guess, mass, memory, pressed, there, p, w):
    """Any plastic cell from its enthalpy, unless it is `there`; `memory`: X, C and water heat at the step's start."""
    water = memory[i, 2]
    boiling = water > 0.0
    wet = any_of(boiling)
    if wet:
        h_100 = boiling_enthalpy(memory, i, p)
        dry = y > h_100 + water
        boiling = boiling & (y > h_100) & (y <= h_100 + water)
        y = select(dry, y - water, y)
    if shared(p[PARTS]) > 0.0:
        t, dt_dy, x = blend_at(y, guess, memory, i, p)
        if wet:
            t, dt_dy = select(boiling, BOILING, t), select(boiling, 0.0, dt_dy)
            x = select(boiling, mean_played(BOILING, memory, i, p), x)
        grown = x > memory[i, 1]
        c = select(grown, x, memory[i, 1]) if pressed else memory[i, 1]
        k, v, dk, dv, _ = blend_conduction(t, c, grown & pressed, memory, i, p)
    else:
        t, dt_dy, x, dx, _ = state_at(y, guess, memory[i, 0], p)
        if wet:
            t, dt_dy, dx = select(boiling, BOILING, t), select(boiling, 0.0, dt_dy), select(boiling, 0.0, dx)
            x = select(boiling, min(max(memory[i, 0], melted(BOILING, p)), frozen(BOILING, p)), x)
        grown = (x > memory[i, 1]) & pressed
        c = select(grown, x, memory[i, 1])
        dc = select(grown, dx, 0.0)
        th = t - REFERENCE
        vs = p[VS0] + p[VS1] * th
        vl = p[VL0] + p[VL1] * th
        packing = 1.0 / (1.0 - p[VOID] * (1.0 - c))
        v = ((1.0 - x) * vs + x * vl) * packing
        dv = ((1.0 - x) * p[VS1] + x * p[VL1] + (vl - vs) * dx) * packing - v * packing * p[VOID] * dc
        k_solid = p[KS0] + p[KS1] * th
        k = (1.0 - x) * k_solid + x * p[KL0]
        dk = (1.0 - x) * p[KS1] + (p[KL0] - k_solid) * dx
        if any_of(c < 1.0):
            bed = bed_conductivity(t, k, p)
            dk = c * dk + (k - bed) * dc
            k = c * k + (1.0 - c) * bed
    half = 0.5 * mass * v / k
    w[i, T] = select(there, w[i, T], t)
    w[i, DT_DY] = select(there, w[i, DT_DY], dt_dy)
    w[i, X] = select(there, w[i, X], x)
    w[i, C] = select(there, w[i, C], c)
    w[i, VOLUME] = select(there, w[i, VOLUME], v)
    w[i, HALF_NOW] = select(there, w[i, HALF_NOW], half)
    w[i, HALF_SLOPE] = select(there, w[i, HALF_SLOPE], half * (dv / v - dk / k))
    w[i, HEIGHT_SLOPE] = select(there, w[i, HEIGHT_SLOPE], mass * dv * dt_dy)


@kernel()
def _wetted(i, kind, joints, polymers, closed, w):
    """Conductance between a skin and the charge, and its slope to the first cell's temperature.

    Loose flake at first, wet melt once its face melts. The face is extrapolated from the two first cells;
    its slope to the second, which would leave the tridiagonal band, is left out of the Jacobian.
    """
    if shared(joints[KIND, i]) == PLASTIC_ABOVE:
        first, second, skin = i + 1, i + 2, i
    else:
        first, second, skin = i, i - 1, i + 1
    if second < 0 or second >= kind.shape[0] or kind[second] != kind[first]:
        second = first
    p = polymers[kind[first]]
    face = w[first, T] + 0.5 * (w[first, T] - w[second, T])
    low, high = min(w[first, T], w[skin, T]), max(w[first, T], w[skin, T])
    bounded = min(max(face, low), high)
    wet = mean_melted(bounded, p)
    slope = select(bounded == face, 1.5 * mean_melting_slope(bounded, p), 0.0)
    c = w[first, C]
    soaked_through = c >= wet
    if any_of(soaked_through):
        own_slope = select(c < 1.0, mean_melting_slope(w[first, T], p), 0.0)
        wet, slope = select(soaked_through, c, wet), select(soaked_through, own_slope, slope)
    loose = select(closed, joints[CLOSED, i], joints[OPEN, i])
    soaked = select(closed, joints[CLOSED_WET, i], joints[OPEN_WET, i])
    return loose + (soaked - loose) * wet, (soaked - loose) * slope


@kernel()
def _half(i, cells, w):
    """Half a cell's resistance [m2K/W]; one on the heating branch works it out only where a neighbour differs."""
    heating = w[i, HEATING] > 0.0
    if any_of(heating):
        w[i, HALF_NOW] = select(heating, 0.5 * cells[CAP, i] * w[i, DT_DY] / w[i, DPHI], w[i, HALF_NOW])
    return w[i, HALF_NOW]


@kernel()
def sensor(side: int, heaters: np.ndarray, w: np.ndarray) -> float:
    """Temperature at one platen's sensor, between two of its cells."""
    cell = int(shared(heaters[side, SENSOR]))
    share = heaters[side, WEIGHT]
    return (1.0 - share) * w[cell, T] + share * w[cell + 1, T]


@kernel()
def _heater_power(side: int, heaters: np.ndarray, w: np.ndarray) -> tuple[float, float]:
    """Power of one platen's heaters [W/m2 of mould], and the gain where it follows the sensor."""
    limit = heaters[side, LIMIT]
    power = select((heaters[side, MODE] == ON_OFF) & (heaters[side, ON] > 0.0), limit, 0.0)
    gain = 0.0 * limit
    follows = heaters[side, MODE] == PROPORTIONAL
    if any_of(follows):
        wish = heaters[side, GAIN] * (heaters[side, SET] - sensor(side, heaters, w))
        gain = select(follows & (wish > 0.0) & (wish < limit), heaters[side, GAIN], 0.0)
        power = select(follows, min(max(wish, 0.0), limit), power)
    return power, gain


@kernel()
def rates(
    y: np.ndarray,
    guess: np.ndarray,
    kind: np.ndarray,
    memory: np.ndarray,
    cells: np.ndarray,
    joints: np.ndarray,
    polymers: np.ndarray,
    tables: np.ndarray,
    ends: np.ndarray,
    heaters: np.ndarray,
    room: float,
    closed: bool,
    pressed: bool,
    sloped: bool,
    w: np.ndarray,
    flows: np.ndarray,
    around: float = 1.0,
) -> None:
    """dy/dt into row F of `w`, its Jacobian into JL, JD, JU; powers and their slopes into `flows`.

    y (n,): unknowns; guess (n, STATE_COLUMNS): a state near by, from whose temperatures the search starts;
    kind (n,): -1 metal, else the plastic's row;
    memory (n, 3 or more): melted fraction, consolidated fraction, water heat [J/kg], then the melted fractions of a
    blend's parts, at the start of the step;
    sloped: with the Jacobian, which the stages inside a step do without;
    cells (5, n), joints (5, n-1), ends (2, 7), heaters (2, 8): see the names above;
    around: factor on the film at the edge;
    flows (7, 3): power [W/m2], its slope to the first or last unknown, spare.
    """
    n = y.shape[0]
    nodes = tables.shape[-2]
    i = 0
    while i < n:
        p = kind[i]
        if p < 0:
            w[i, T] = y[i]
            w[i, DT_DY] = 1.0
            w[i, HALF_NOW] = cells[HALF, i]
            w[i, HALF_SLOPE] = 0.0
            w[i, HEATING] = 0.0
            lost = around * (cells[EDGE, i] * cells[HEIGHT, i])
            w[i, EDGE_RATE] = lost * (y[i] - room)
            w[i, EDGE_SLOPE] = lost
            i += 1
            continue
        # rows are looked up once a layer: taking a slice costs more than a cell's arithmetic
        polymer = polymers[p]
        table = tables[p]
        molten = specific_enthalpy(polymer[TM1] + 1.0 / polymer[MELT_RATE], 1.0, polymer)
        while i < n and kind[i] == p:
            near = guess[i, T] + guess[i, DT_DY] * (y[i] - guess[i, Y])
            # a sheet that has been molten is on the heating branch only while it is molten all through
            there = (memory[i, 1] < 1.0) | (y[i] >= molten)
            if any_of(there):
                there = there & _heating_cell(
                    i, y[i], cells[CAP, i], memory, pressed, sloped, polymer, nodes, table, w
                )
            if not all_of(there):
                _plastic_cell(i, y[i], near, cells[CAP, i], memory, pressed, there, polymer, w)
            w[i, HEATING] = select(there & (memory[i, 2] <= 0.0), 1.0, 0.0)
            w[i, Y] = y[i]
            height = cells[CAP, i] * w[i, VOLUME]
            over = w[i, T] - room
            lost = around * cells[EDGE, i]
            w[i, EDGE_RATE] = lost * height * over
            if sloped:
                w[i, EDGE_SLOPE] = lost * (height * w[i, DT_DY] + w[i, HEIGHT_SLOPE] * over)
            i += 1
    edge = 0.0
    rim = 0.0
    q_below = 0.0
    dq_left = 0.0
    dq_right = 0.0
    for i in range(n):
        # what comes from below is known; what leaves upwards follows here
        q = 0.0
        left = 0.0
        right = 0.0
        if i < n - 1:
            joint = shared(joints[KIND, i])
            heating = (w[i, HEATING] > 0.0) & (w[i + 1, HEATING] > 0.0) & (joint == INSIDE)
            if not all_of(heating):
                resistance = _half(i, cells, w) + _half(i + 1, cells, w)
                slope_left, slope_right = w[i, HALF_SLOPE], w[i + 1, HALF_SLOPE]
                if joint == CONTACT:
                    resistance += 1.0 / select(closed, joints[CLOSED, i], joints[OPEN, i])
                elif joint != INSIDE:
                    conductance, wetting = _wetted(i, kind, joints, polymers, closed, w)
                    resistance += 1.0 / conductance
                    if joint == PLASTIC_ABOVE:
                        slope_right -= wetting / (conductance * conductance)
                    else:
                        slope_left -= wetting / (conductance * conductance)
                q = (w[i, T] - w[i + 1, T]) / resistance
                left = (1.0 - q * slope_left) / resistance * w[i, DT_DY]
                right = (-1.0 - q * slope_right) / resistance * w[i + 1, DT_DY]
            if any_of(heating):
                # one division instead of three: they are what a cell's flux costs
                per_distance = 2.0 / (cells[CAP, i] + cells[CAP, i + 1])
                q = select(heating, (w[i, PHI] - w[i + 1, PHI]) * per_distance, q)
                left = select(heating, w[i, DPHI] * per_distance, left)
                right = select(heating, -w[i + 1, DPHI] * per_distance, right)
        per_cap = 1.0 / cells[CAP, i]
        w[i, F] = (q_below - q - w[i, EDGE_RATE]) * per_cap
        if sloped:
            w[i, JL] = dq_left * per_cap
            w[i, JD] = (dq_right - left - w[i, EDGE_SLOPE]) * per_cap
            w[i, JU] = -right * per_cap
        if cells[RIM, i] > 0.0:
            loss = cells[RIM, i] * (w[i, T] - room)
            rim += loss
            w[i, F] -= loss * per_cap
            w[i, JD] -= cells[RIM, i] * w[i, DT_DY] * per_cap
        edge += w[i, EDGE_RATE]
        w[i, FLUX] = q
        q_below = q
        dq_left = left
        dq_right = right
    flows[EDGE_LOSS, 0] = edge
    flows[RIM_LOSS, 0] = rim
    for side in range(2):
        cell = 0 if side == 0 else n - 1
        q, slope = outer_loss(w[cell, T], _half(cell, cells, w), ends[side])
        flows[OUT_BOTTOM + side, 0] = q
        flows[OUT_BOTTOM + side, 1] = slope * w[cell, DT_DY]
        w[cell, F] -= q / cells[CAP, cell]
        w[cell, JD] -= slope * w[cell, DT_DY] / cells[CAP, cell]
        power, gain = _heater_power(side, heaters, w)
        flows[HEAT_BOTTOM + side, 0] = power
        flows[HEAT_BOTTOM + side, 1] = gain
        w[cell, F] += power / cells[CAP, cell]


@kernel(apart=True)
def rates_apart(
    y, guess, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed, w, flows
):  # fmt: skip
    """`rates` with the Jacobian, where a run starts or something switches: compiled once, not into the march."""
    rates(
        y, guess, kind, memory, cells, joints, polymers, tables, ends, heaters, room, closed, pressed, True, w,
        flows,
    )  # fmt: skip
