"""The heating branch of a plastic or blend, X = C = X_m(T), tabulated against enthalpy; compiled."""

from __future__ import annotations

import numpy as np

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import float64, types

from flatstock.heat.blend_laws import REMEMBERED, blend_at, blend_conduction, mean_melted
from flatstock.heat.laws import (
    KL0,
    KS0,
    KS1,
    PARTS,
    REFERENCE,
    TABLE_RATE,
    TABLE_START,
    VL0,
    VL1,
    VOID,
    VS0,
    VS1,
    bed_conductivity,
    melted,
    state_at,
)

__all__ = ["TABLE_COLUMNS", "fill_table"]

TABLE_COLUMNS = 6


@kernel()
def _dense_over_volume(t: float, bed: float, p: np.ndarray) -> float:
    x = melted(t, p)
    th = t - REFERENCE
    dense = (1.0 - x) * (p[KS0] + p[KS1] * th) + x * p[KL0]
    volume = (1.0 - x) * (p[VS0] + p[VS1] * th) + x * (p[VL0] + p[VL1] * th)
    return (x * dense + (1.0 - x) * bed) * (1.0 - p[VOID] * (1.0 - x)) / volume


@kernel(types.void(float64[::1], float64[:, ::1]))
def _fill_blend(p, table):
    memory = np.zeros(
        (1, REMEMBERED + int(p[PARTS]))
    )  # never molten before: every part is on its heating curve
    total = 0.0
    g_before = 0.0
    t_before = 0.0
    t = -60.0
    for i in range(table.shape[0]):
        t, dt_dh, _ = blend_at(p[TABLE_START] + i / p[TABLE_RATE], t, memory, 0, p)
        k, v, _, dv, _ = blend_conduction(t, mean_melted(t, p), True, memory, 0, p)
        g = k / v
        if i > 0:
            half = 0.5 * (t + t_before)
            k_half, v_half, _, _, _ = blend_conduction(half, mean_melted(half, p), True, memory, 0, p)
            total += (t - t_before) / 6.0 * (g_before + 4.0 * k_half / v_half + g)
        table[i, 0] = t
        table[i, 1] = dt_dh
        table[i, 2] = total
        table[i, 3] = g * dt_dh
        table[i, 4] = v
        table[i, 5] = dv * dt_dh
        g_before = g
        t_before = t


@kernel(types.void(float64[::1], float64[:, ::1]))
def fill_table(p: np.ndarray, table: np.ndarray) -> None:
    """The heating branch, X = C = X_m(T), against enthalpy: `table` is (n, 6).

    Columns T, dT/dh, Φ, dΦ/dh, v, dv/dh at h = TABLE_START + i / TABLE_RATE, with the Kirchhoff potential
    Φ(T) = ∫ k/v dT. Between nodes T and Φ are cubic, v is linear. Simpson's rule for Φ in T; one plastic's bed's
    conductivity, which is smooth, is taken linear between nodes.
    """
    if p[PARTS] > 0.0:
        _fill_blend(p, table)
        return
    total = 0.0
    g_before = 0.0
    bed_before = 0.0
    t_before = 0.0
    t = -60.0
    for i in range(table.shape[0]):
        t, dt_dh, x, dx, _ = state_at(p[TABLE_START] + i / p[TABLE_RATE], t, 0.0, p)
        bed = 0.0
        if x < 1.0:
            bed = bed_conductivity(t, (1.0 - x) * (p[KS0] + p[KS1] * (t - REFERENCE)) + x * p[KL0], p)
        g = _dense_over_volume(t, bed, p)
        if i > 0:
            middle = _dense_over_volume(0.5 * (t + t_before), 0.5 * (bed + bed_before), p)
            total += (t - t_before) / 6.0 * (g_before + 4.0 * middle + g)
        th = t - REFERENCE
        solid = p[VS0] + p[VS1] * th
        melt = p[VL0] + p[VL1] * th
        packing = 1.0 / (1.0 - p[VOID] * (1.0 - x))
        volume = ((1.0 - x) * solid + x * melt) * packing
        slope = ((1.0 - x) * p[VS1] + x * p[VL1] + (melt - solid) * dx) * packing - volume * packing * p[
            VOID
        ] * dx
        table[i, 0] = t
        table[i, 1] = dt_dh
        table[i, 2] = total
        table[i, 3] = g * dt_dh
        table[i, 4] = volume
        table[i, 5] = slope * dt_dh
        g_before = g
        bed_before = bed
        t_before = t
