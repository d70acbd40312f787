"""The plastic's laws as compiled scalar functions: enthalpy, melting with memory, volume, conduction.

A plastic is a row of numbers here (`polymer.Polymer.row` makes it); the indices below name its columns. The laws
of a charge of several plastics stand in `blend_laws`, and are sums of these.
Equations: docs/heat.md, sections "Plastic" and "Flake bed". Temperatures in °C, everything else SI.
"""

from __future__ import annotations

from math import log, sqrt

import numpy as np

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import float64

from flatstock.heat.lanes import all_of, any_of, select

__all__ = [
    "bed_conductivity",
    "freezing_slope",
    "frozen",
    "melted",
    "melting_slope",
    "specific_enthalpies",
    "specific_enthalpy",
    "state_at",
]

# columns of a polymer row
HS1, HS2 = 0, 1  # h_s = HS1 θ + HS2 θ², θ = T - 23
D0, D1, D2 = 2, 3, 4  # h_l - h_s = D0 + D1 θ + D2 θ²
TM1, MELT_RATE = 5, 6  # melting onset, 1 / (end - onset)
TC1, FREEZE_RATE = 7, 8  # freezing end, 1 / (onset - end)
KS0, KS1, KL0 = 9, 10, 11
VS0, VS1, VL0, VL1 = 12, 13, 14, 15  # v = VS0 + VS1 θ, VL0 + VL1 θ
VOID, BED_FACTOR, BED_FORM, BED_FLAT, BED_GRAIN, BED_EMIT, BED_K = 16, 17, 18, 19, 20, 21, 22
TABLE_START, TABLE_RATE = 23, 24  # first enthalpy of the table, nodes per J/kg
TABLE_NODES = 1024
PARTS = 25  # plastics of a blend; 0: this is one plastic
ROW = 26  # length of a row; a blend's goes on, see `blend_laws`

STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4, CODATA 2018 (exact since the 2019 SI)
REFERENCE = 23.0  # °C where h = 0
BOILING = 100.0  # °C, water at 1 bar


@kernel()
def _step(u: float) -> float:
    u = min(max(u, 0.0), 1.0)
    return u * u * u * (10.0 + u * (6.0 * u - 15.0))


@kernel()
def _step_slope(u: float) -> float:
    u = min(max(u, 0.0), 1.0)
    return 30.0 * u * u * (1.0 - u) * (1.0 - u)


@kernel()
def melted(t: float, p: np.ndarray) -> float:
    """Melted fraction on the heating curve, X_m(T)."""
    return _step((t - p[TM1]) * p[MELT_RATE])


@kernel()
def melting_slope(t: float, p: np.ndarray) -> float:
    """dX_m/dT [1/K]."""
    return _step_slope((t - p[TM1]) * p[MELT_RATE]) * p[MELT_RATE]


@kernel()
def frozen(t: float, p: np.ndarray) -> float:
    """Melted fraction on the cooling curve, X_c(T); never below `melted`."""
    return _step((t - p[TC1]) * p[FREEZE_RATE])


@kernel()
def freezing_slope(t: float, p: np.ndarray) -> float:
    """dX_c/dT [1/K]."""
    return _step_slope((t - p[TC1]) * p[FREEZE_RATE]) * p[FREEZE_RATE]


@kernel()
def specific_enthalpy(t: float, x: float, p: np.ndarray) -> float:
    """h(T, X) above the solid at 23 °C [J/kg]."""
    th = t - REFERENCE
    return th * (p[HS1] + p[HS2] * th) + x * (p[D0] + th * (p[D1] + p[D2] * th))


@kernel(float64[::1](float64[::1], float64[::1], float64[::1]))
def specific_enthalpies(t: np.ndarray, x: np.ndarray, p: np.ndarray) -> np.ndarray:
    """`specific_enthalpy` of each cell: t, x (n,)."""
    h = np.empty(len(t))
    for i in range(len(t)):
        h[i] = specific_enthalpy(t[i], x[i], p)
    return h


@kernel()
def state_at(
    h: float, guess: float, x_before: float, p: np.ndarray
) -> tuple[float, float, float, float, float]:
    """Temperature, dT/dh, melted fraction, dX/dT and branch at enthalpy `h`, coming from fraction `x_before`.

    Branch 1: on the heating curve; 0: on the cooling curve or between the two.

    The fraction stays where it was while X_m(T) <= X <= X_c(T) (Visintin's play operator), so h is a
    monotonic function of T; solved by Newton's method, held inside a shrinking bracket.
    """
    low = -300.0
    high = 900.0
    t = guess
    for turn in range(60):
        th = t - REFERENCE
        u = min(max((t - p[TM1]) * p[MELT_RATE], 0.0), 1.0)
        w = min(max((t - p[TC1]) * p[FREEZE_RATE], 0.0), 1.0)
        xm = u * u * u * (10.0 + u * (6.0 * u - 15.0))
        xc = w * w * w * (10.0 + w * (6.0 * w - 15.0))
        melting, freezing = x_before <= xm, x_before >= xc
        x = select(melting, xm, select(freezing, xc, x_before))
        e = select(melting, u * (1.0 - u), w * (1.0 - w))
        rate = select(melting, p[MELT_RATE], select(freezing, p[FREEZE_RATE], 0.0))
        slope = 30.0 * e * e * rate
        branch = select(melting, 1.0, 0.0)
        gap = p[D0] + th * (p[D1] + p[D2] * th)
        c = p[HS1] + 2.0 * p[HS2] * th + x * (p[D1] + 2.0 * p[D2] * th) + gap * slope
        off = h - (th * (p[HS1] + p[HS2] * th) + x * gap)
        change = off / c
        moving = abs(change) >= 1e-6  # one that has arrived stays where it would have stopped alone
        if not any_of(moving):
            return t + change, 1.0 / c, x, slope, branch
        up = change > 0.0
        low, high = select(up, t, low), select(up, high, t)
        next_t = t + change
        if turn > 6:
            next_t = select((low < next_t) & (next_t < high), next_t, 0.5 * (low + high))
        t = select(moving, next_t, t)
    return t, 1.0 / c, x, slope, branch


@kernel()
def bed_conductivity(t: float, k_solid: float, p: np.ndarray) -> float:
    """Loose flake bed [W/mK]: Zehner-Bauer-Schlünder at ambient pressure, or a measured constant.

    Form after the VDI Heat Atlas (read in an open Modelica library); air conductivity
    0.0244 + 7.1e-5 T from memory, good to 2 %. At N = 0 the closed form is singular but the law is
    not: near it the Taylor series is used.
    """
    measured = p[BED_K] > 0.0
    if all_of(measured):
        return p[BED_K] * p[BED_FACTOR]
    solid = p[VOID] < 1e-6  # the law's limit without voids, where its form factor grows beyond bounds
    if all_of(solid):
        return k_solid * p[BED_FACTOR]
    k_gas = 0.0244 + 7.1e-5 * t
    tk = t + 273.15
    kp = k_solid / k_gas
    root = sqrt(1.0 - p[VOID])
    b = p[BED_FORM] * ((1.0 - p[VOID]) / p[VOID]) ** (10.0 / 9.0)
    kr = 4.0 * STEFAN_BOLTZMANN * tk * tk * tk * p[BED_GRAIN] / (2.0 / p[BED_EMIT] - 1.0) / k_gas
    n = 1.0 + (kr - b) / kp
    regular = abs(n) * kp > 0.02 * b
    kc = (2.0 / n) * (
        b * (kp + kr - 1.0) / (n * n * kp) * log((kp + kr) / b)
        + (b + 1.0) / (2.0 * b) * (kr - b)
        - (b - 1.0) / n
    )
    if not all_of(regular):
        # Taylor series of the line above about N = 0, where its poles cancel (derived with a computer algebra)
        z = kp / b
        series = z * (3.0 * b * b - b * kp + 3.0 * b - 2.0 * kp) / (3.0 * b)
        series += n * z * z * z * ((b + 3.0) / 6.0 - n * z * (b + 4.0) / 10.0)
        kc = select(regular, kc, series)
    ratio = (1.0 - root) * p[VOID] * (1.0 / p[VOID] + kr) + root * (
        p[BED_FLAT] * kp + (1.0 - p[BED_FLAT]) * kc
    )
    of_bed = select(measured, p[BED_K], select(solid, k_solid, ratio * k_gas))
    return of_bed * p[BED_FACTOR]
