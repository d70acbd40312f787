"""The overnight stack by SciPy's BDF: enthalpy as the unknown, NumPy right-hand side, memory step by step.

The molten fraction stays between the melting and the freezing curve; what it was at the last step is kept
and brought up to date after each step, as the engine does. Temperature from enthalpy by Newton's method on
all cells at once.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.integrate import BDF
from scipy.sparse import diags

from benchmarks.columns import HDPE as P
from benchmarks.peer_laws import SIGMA, Array, smooth, smooth_slope

__all__ = ["hottest_by_bdf"]

ROOM, EDGE = 20.0, 32.0
PLATE_CELLS, PLATE_D, SKIN_D = 4, 0.020 / 4, 0.002
STEEL_RC, STEEL_K = 7850.0 * 480.0, 50.0
MOST_CALLS = 60_000  #: of the right-hand side between two arrivals; 5,000 are usual
PLATE_SKIN, SKIN_SKIN, SKIN_SHEET = 500.0, 300.0, 500.0
MELT_RISE = P.melt_cp_180 - 157.0 * P.melt_cp_slope - P.solid_cp_23


def _gap(t: Array) -> Array:
    """Heat that melt holds more than solid [J/kg]."""
    th, rise = t - 23.0, P.latent_at - 23.0
    return P.latent + (th - rise) * (MELT_RISE + 0.5 * (P.melt_cp_slope - P.solid_cp_slope) * (th + rise))


def _fractions(t: Array, before: Array) -> tuple[Array, Array]:
    """Molten fraction between its two curves, and its slope to the temperature."""
    up = (t - P.melting_onset) / (P.melting_end - P.melting_onset)
    down = (t - P.freezing_end) / (P.freezing_onset - P.freezing_end)
    low, high = smooth(up), smooth(down)
    x = np.minimum(np.maximum(before, low), high)
    slope = np.where(before <= low, smooth_slope(up) / (P.melting_end - P.melting_onset), 0.0)
    slope = np.where(before >= high, smooth_slope(down) / (P.freezing_onset - P.freezing_end), slope)
    return x, slope


class _Stack:
    """Cells from bottom to top: 4 of a plate, then skin, sheet, skin for each mould, 4 of a plate."""

    def __init__(self, moulds: int, cells: int) -> None:
        mould = [True, *([False] * cells), True]
        self.metal = np.array([True] * PLATE_CELLS + mould * moulds + [True] * PLATE_CELLS)
        n = len(self.metal)
        self.height = np.where(self.metal, SKIN_D, 0.0)
        self.height[:PLATE_CELLS] = self.height[-PLATE_CELLS:] = PLATE_D
        self.capacity = np.where(self.metal, STEEL_RC * self.height, P.density * 0.012 / cells)
        self.contact = np.zeros(n - 1)
        for k in range(moulds):
            first = PLATE_CELLS + k * (cells + 2)
            self.contact[first - 1] = 1 / (PLATE_SKIN if k == 0 else SKIN_SKIN)
            self.contact[first] = self.contact[first + cells] = 1 / SKIN_SHEET
        self.contact[n - PLATE_CELLS - 1] = 1 / PLATE_SKIN
        self.before = np.ones(n)  # molten fraction at the last step
        self.guess = np.full(n, 100.0)

    def temperature(self, y: Array) -> tuple[Array, Array]:
        """Temperatures and molten fractions at the unknowns `y`."""
        t = np.where(self.metal, y, self.guess)
        plastic = ~self.metal
        h, before, p = y[plastic], self.before[plastic], t[plastic]
        low, high = np.full(len(h), -100.0), np.full(len(h), 400.0)
        for _ in range(60):
            x, slope = _fractions(p, before)
            th, gap = p - 23.0, _gap(p)
            off = h - (th * (P.solid_cp_23 + 0.5 * P.solid_cp_slope * th) + x * gap)
            c = P.solid_cp_23 + P.solid_cp_slope * th + gap * slope
            c += x * (MELT_RISE + (P.melt_cp_slope - P.solid_cp_slope) * th)
            change = off / c
            if np.max(np.abs(change)) < 1e-9:
                break
            low, high = np.where(change > 0, p, low), np.where(change < 0, p, high)
            p = p + change
            p = np.where((p > low) & (p < high), p, 0.5 * (low + high))
        t[plastic] = p
        self.guess = t.copy()
        fraction = np.ones(len(y))
        fraction[plastic] = x
        return t, fraction

    def rates(self, _: float, y: Array) -> Array:
        """dy/dt."""
        t, x = self.temperature(y)
        v = (1 - x) * (1 / P.density + P.solid_volume_slope * (t - 23)) + x * (
            P.melt_volume_180 + P.melt_volume_slope * (t - 180)
        )
        k = (1 - x) * (P.solid_k_23 + P.solid_k_slope * (t - 23)) + x * P.melt_k_180
        height = np.where(self.metal, self.height, self.capacity * v)
        half = 0.5 * height / np.where(self.metal, STEEL_K, k)
        q = np.zeros(len(y) + 1)
        q[1:-1] = (t[:-1] - t[1:]) / (half[:-1] + half[1:] + self.contact)
        q[0] = -_still_air(t[0], half[0], 0.65 * 0.25**-0.25, 0.25)
        q[-1] = _still_air(t[-1], half[-1], 1.52, 1 / 3)
        return np.asarray((q[:-1] - q[1:] - EDGE * height * (t - ROOM)) / self.capacity)


def _hottest(sheet: Array) -> float:
    """Vertex of the parabola through the hottest cell and its neighbours."""
    i = int(np.argmax(sheet))
    if i in (0, len(sheet) - 1):
        return float(sheet[i])
    a, b, c = sheet[i - 1 : i + 2]
    return float(b - (a - c) ** 2 / (8 * (a - 2 * b + c)))


def _still_air(cell: float, half: float, natural: float, power: float) -> float:
    face = cell
    for _ in range(20):
        rise, kelvin = face - ROOM, face + 273.15
        film = natural * abs(rise) ** power
        q = film * rise + 0.8 * SIGMA * (kelvin**4 - (ROOM + 273.15) ** 4)
        change = (cell - face - half * q) / (1 + half * (film * (1 + power) + 3.2 * SIGMA * kelvin**3))
        face += change
        if abs(change) < 1e-10:
            break
    return float(q)


def _enthalpy(t: float, x: float) -> float:
    th = t - 23.0
    return float(th * (P.solid_cp_23 + 0.5 * P.solid_cp_slope * th) + x * _gap(np.array(t)))


def hottest_by_bdf(
    cells: int, tolerance: float, *, arrivals: Sequence[float], asked: Array, end: float
) -> Array:
    """Hottest point of each sheet at the instants `asked`, (instants, sheets) [°C].

    nan where it crawls: at some settings memory is overrun within a step, and steps stay tiny from then on.
    """
    fresh = np.array([180.0, *([_enthalpy(180.0, 1.0)] * cells), 180.0])
    cold = np.full(PLATE_CELLS, 20.0)
    y, below, fraction = cold, cold, np.zeros(0)
    answer = np.full((len(asked), len(arrivals)), np.nan)
    top = cold
    for stage, start in enumerate(arrivals):
        stop = arrivals[stage + 1] if stage + 1 < len(arrivals) else end
        stack = _Stack(stage + 1, cells)
        y = np.concatenate([below, fresh, top])
        stack.before[PLATE_CELLS : PLATE_CELLS + len(fraction)] = fraction
        # one number for the absolute tolerance of each kind of unknown: kelvin, and joule a kilogram
        atol = np.where(stack.metal, 100 * tolerance, 250_000 * tolerance)
        near = diags([np.ones(len(y))] * 3, [-1, 0, 1], shape=(len(y), len(y)))
        solver = BDF(stack.rates, start, y, stop, rtol=tolerance, atol=atol, jac_sparsity=near)
        while solver.status == "running":
            solver.step()
            if solver.nfev > MOST_CALLS:
                return np.full_like(answer, np.nan)
            told = np.flatnonzero((asked > solver.t_old) & (asked <= solver.t))
            if len(told):
                between = solver.dense_output()
                for i in told:
                    t, _ = stack.temperature(between(asked[i]))
                    sheets = t[PLATE_CELLS:-PLATE_CELLS].reshape(stage + 1, cells + 2)[:, 1:-1]
                    answer[i, : stage + 1] = [_hottest(sheet) for sheet in sheets]
            _, stack.before = stack.temperature(solver.y)
        y = solver.y
        below, top = y[:-PLATE_CELLS], y[-PLATE_CELLS:]
        fraction = stack.before[PLATE_CELLS:-PLATE_CELLS]
    return answer
