"""The hot press by SciPy: LSODA with a compiled right-hand side, BDF with one in NumPy.

Unknowns are temperatures from bottom to top: 4 platen cells, skin, charge, skin, 4 platen cells. The same
cells and fluxes as the engine's, so that what differs is the march through time. No histories, no energy
account, and LSODA is told when to stop: that favours the peers. Compiled as the engine's kernels are.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import odeint, solve_ivp

from benchmarks.columns import HDPE as P
from benchmarks.columns import TARGET
from benchmarks.peer_laws import FIRST, NODES, PER_K, POTENTIAL, Array, smooth, smooth_slope
from flatstock.heat.compiling import kernel

__all__ = ["melt_through_bdf", "melt_through_lsoda"]

PLATEN = 4
CLOSE = 30.0
ROOM, SET, POWER, GAIN, BACK, EDGE = 20.0, 190.0, 1e4, 2000.0, 4.0, 40.0
PLATEN_D, PLATEN_CAP, PLATEN_HALF = 0.025 / PLATEN, 2700 * 900 * 0.025 / PLATEN, 0.5 * 0.025 / PLATEN / 165
SKIN_D, SKIN_CAP, SKIN_HALF = 0.002, 7850 * 480 * 0.002, 0.001 / 50
OPEN_LOW, OPEN_HIGH, CLOSED = 100.0, 15.0, 1000.0
LOOSE_OPEN, LOOSE, WET = 100.0, 300.0, 3000.0
BAND = 2  #: the sensor and the wetted face reach two cells away
# numbers of the plastic as globals, which numba takes as constants
ON, WIDTH, TF, L, VOID = P.melting_onset, P.melting_end - P.melting_onset, P.latent_at, P.latent, P.bed.void
CS0, CS1, CL0, CL1 = P.solid_cp_23, P.solid_cp_slope, P.melt_cp_180, P.melt_cp_slope
V0, V1, W0, W1 = 1 / P.density, P.solid_volume_slope, P.melt_volume_180, P.melt_volume_slope
D1 = CL0 - 157.0 * CL1 - CS0  # melt less solid heat capacity at 23 °C


@kernel()
def _molten(t):
    u = min(max((t - ON) / WIDTH, 0.0), 1.0)
    return u * u * u * (10.0 + u * (6.0 * u - 15.0))


@kernel()
def _wetting(first, second, skin, loose):
    face = first + 0.5 * (first - second)
    face = min(max(face, min(first, skin)), max(first, skin))
    return loose + (WET - loose) * max(_molten(first), _molten(face))


@kernel()
def _compiled(y, _, mass, closed, table):
    n = y.shape[0]
    low, high = PLATEN + 1, n - PLATEN - 2  # first and last cell of the charge
    out = np.empty(n)
    phi = np.empty(n)
    g = np.empty(n)
    loose = LOOSE if closed else LOOSE_OPEN
    edge_rate = 0.0
    for i in range(low, high + 1):
        place = (y[i] - FIRST) * PER_K
        j = min(max(int(place), 0), NODES - 2)
        s = place - j
        r = 1.0 - s
        phi[i] = (table[j, 0] * (1.0 + 2.0 * s) + s / PER_K * table[j, 1]) * r * r
        phi[i] += (table[j + 1, 0] * (3.0 - 2.0 * s) - r / PER_K * table[j + 1, 1]) * s * s
        g[i] = r * table[j, 1] + s * table[j + 1, 1]
    below = 0.0
    for i in range(n):
        q = 0.0
        if i < n - 1:
            if low <= i < high:
                q = (phi[i] - phi[i + 1]) / mass
            elif i < PLATEN - 1 or i >= n - PLATEN:
                q = (y[i] - y[i + 1]) / (2.0 * PLATEN_HALF)
            elif i == PLATEN - 1:
                q = (y[i] - y[i + 1]) / (PLATEN_HALF + SKIN_HALF + 1.0 / (CLOSED if closed else OPEN_LOW))
            elif i == n - PLATEN - 1:
                q = (y[i] - y[i + 1]) / (PLATEN_HALF + SKIN_HALF + 1.0 / (CLOSED if closed else OPEN_HIGH))
            elif i == PLATEN:
                c = _wetting(y[low], y[low + 1], y[i], loose)
                q = (y[i] - y[low]) / (SKIN_HALF + 0.5 * mass / g[low] + 1.0 / c)
            else:
                c = _wetting(y[high], y[high - 1], y[i + 1], loose)
                q = (y[high] - y[i + 1]) / (SKIN_HALF + 0.5 * mass / g[high] + 1.0 / c)
        if low <= i <= high:
            u = min(max((y[i] - ON) / WIDTH, 0.0), 1.0)
            x = u * u * u * (10.0 + u * (6.0 * u - 15.0))
            th, rise = y[i] - 23.0, TF - 23.0
            gap = L + (th - rise) * (D1 + 0.5 * (CL1 - CS1) * (th + rise))
            cs = CS0 + CS1 * th
            c = cs + x * (D1 + (CL1 - CS1) * th) + gap * 30.0 * u * u * (1.0 - u) ** 2 / WIDTH
            v = ((1.0 - x) * (V0 + V1 * th) + x * (W0 + W1 * (y[i] - 180.0))) / (1.0 - VOID * (1.0 - x))
            edge_rate = EDGE * mass * v
            cap = mass * c
        elif i < PLATEN or i >= n - PLATEN:
            edge_rate = EDGE * PLATEN_D
            cap = PLATEN_CAP
        else:
            edge_rate = EDGE * SKIN_D
            cap = SKIN_CAP
        net = below - q - edge_rate * (y[i] - ROOM)
        if i == 0 or i == n - 1:
            step = 1 if i == 0 else -1
            sensor = 0.5 * (y[i + step] + y[i + 2 * step])
            net += min(max(GAIN * (SET - sensor), 0.0), POWER) - (y[i] - ROOM) / (1.0 / BACK + PLATEN_HALF)
        out[i] = net / cap
        below = q
    return out


def _in_numpy(y: Array, mass: float, closed: bool) -> Array:
    n = len(y)
    low, high = PLATEN + 1, n - PLATEN - 2
    t = y[low : high + 1]
    place = (t - FIRST) * PER_K
    j = np.clip(place.astype(int), 0, NODES - 2)  # a step that is refused later may try anything
    s = place - j
    r = 1.0 - s
    phi = (POTENTIAL[j, 0] * (1 + 2 * s) + s / PER_K * POTENTIAL[j, 1]) * r * r
    phi += (POTENTIAL[j + 1, 0] * (3 - 2 * s) - r / PER_K * POTENTIAL[j + 1, 1]) * s * s
    g = r * POTENTIAL[j, 1] + s * POTENTIAL[j + 1, 1]
    u = (t - ON) / WIDTH
    x, slope = smooth(u), smooth_slope(u) / WIDTH
    th, rise = t - 23.0, TF - 23.0
    gap = L + (th - rise) * (D1 + 0.5 * (CL1 - CS1) * (th + rise))
    c = CS0 + CS1 * th + x * (D1 + (CL1 - CS1) * th) + gap * slope
    v = ((1 - x) * (V0 + V1 * th) + x * (W0 + W1 * (t - 180.0))) / (1 - VOID * (1 - x))
    loose = LOOSE if closed else LOOSE_OPEN
    q = np.zeros(n + 1)
    q[1:PLATEN] = (y[: PLATEN - 1] - y[1:PLATEN]) / (2 * PLATEN_HALF)
    q[n - PLATEN + 1 : n] = (y[n - PLATEN : n - 1] - y[n - PLATEN + 1 :]) / (2 * PLATEN_HALF)
    touch = (CLOSED, CLOSED) if closed else (OPEN_LOW, OPEN_HIGH)
    q[PLATEN] = (y[PLATEN - 1] - y[PLATEN]) / (PLATEN_HALF + SKIN_HALF + 1 / touch[0])
    q[n - PLATEN] = (y[n - PLATEN - 1] - y[n - PLATEN]) / (PLATEN_HALF + SKIN_HALF + 1 / touch[1])
    q[low + 1 : high + 1] = (phi[:-1] - phi[1:]) / mass
    wet = _wetting(t[0], t[1], y[PLATEN], loose)
    q[low] = (y[PLATEN] - t[0]) / (SKIN_HALF + 0.5 * mass / g[0] + 1 / wet)
    wet = _wetting(t[-1], t[-2], y[high + 1], loose)
    q[high + 1] = (t[-1] - y[high + 1]) / (SKIN_HALF + 0.5 * mass / g[-1] + 1 / wet)
    cap = np.full(n, PLATEN_CAP)
    height = np.full(n, PLATEN_D)
    cap[[PLATEN, high + 1]], height[[PLATEN, high + 1]] = SKIN_CAP, SKIN_D
    cap[low : high + 1], height[low : high + 1] = mass * c, mass * v
    net = q[:-1] - q[1:] - EDGE * height * (y - ROOM)
    for first, step in ((0, 1), (n - 1, -1)):
        sensor = 0.5 * (y[first + step] + y[first + 2 * step])
        net[first] += min(max(GAIN * (SET - sensor), 0.0), POWER) - (y[first] - ROOM) / (
            1 / BACK + PLATEN_HALF
        )
    rates: Array = net / cap
    return rates


def _start(cells: int) -> Array:
    hot, cold = np.full(PLATEN, SET), np.full(cells + 2, ROOM)
    return np.concatenate([hot, cold, hot])


def _coldest(y: Array) -> float:
    """Vertex of the parabola through the coldest cell of the charge and its neighbours."""
    t = y[PLATEN + 1 : len(y) - PLATEN - 1]
    i = int(np.argmin(t))
    if i in (0, len(t) - 1):
        return float(t[i])
    a, b, c = t[i - 1 : i + 2]
    bend = a - 2 * b + c
    return float(b - (a - c) ** 2 / (8 * bend)) if bend else float(b)


def melt_through_lsoda(
    thickness: float, cells: int, tolerance: float, expected: float, outputs: int = 60
) -> float:
    """Melt-through [s]; `tolerance` relative and, times 100, absolute; `expected` tells how far to march."""
    mass = P.density * thickness / cells
    options = {"ml": BAND, "mu": BAND, "rtol": tolerance, "atol": 100 * tolerance, "mxstep": 100_000}
    first = odeint(_compiled, _start(cells), [0.0, CLOSE], args=(mass, False, POTENTIAL), **options)
    times = np.concatenate([[CLOSE], np.linspace(0.9 * expected, 1.02 * expected, outputs)])
    states = odeint(_compiled, first[-1], times, args=(mass, True, POTENTIAL), **options)
    coldest = np.array([_coldest(y) for y in states[1:]])
    return float(np.interp(TARGET, coldest, times[1:]))


def melt_through_bdf(thickness: float, cells: int, tolerance: float) -> float:
    """Melt-through [s]; an event ends the march."""
    mass = P.density * thickness / cells
    y = _start(cells)
    n = len(y)
    places = np.arange(n)
    near = np.abs(places[:, None] - places) <= BAND
    options = {"method": "BDF", "rtol": tolerance, "atol": 100 * tolerance, "jac_sparsity": near}
    first = solve_ivp(lambda _, v: _in_numpy(v, mass, False), (0, CLOSE), y, **options)

    def molten(_: float, v: Array) -> float:
        return _coldest(v) - TARGET

    molten.terminal = True  # type: ignore[attr-defined]  # SciPy reads the mark off the function
    found = solve_ivp(
        lambda _, v: _in_numpy(v, mass, True), (CLOSE, 14_400), first.y[:, -1], events=molten, **options
    )
    return float(found.t_events[0][0])
