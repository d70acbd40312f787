"""The heating branch of a plastic or blend, X = C = X_m(T), tabulated against enthalpy; compiled."""

from __future__ import annotations

import numpy as np

from flatstock.heat.compiling import kernel  # isort: skip  (before numba, whose cache folder it sets)
from numba import float64, types

from flatstock.heat.blend_laws import REMEMBERED, blend_at, blend_conduction, mean_melted
from flatstock.heat.lanes import NODE, any_of, shared
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

__all__ = ["NODE_VALUES", "TABLE_COLUMNS", "fill_nodes", "fill_table", "join_nodes"]

TABLE_COLUMNS = NODE
NODE_VALUES = 5


@kernel()
def _dense_over_volume(t: float, bed: float, p: np.ndarray) -> float:
    x = melted(t, p)
    th = t - REFERENCE
    dense = (1.0 - x) * (p[KS0] + p[KS1] * th) + x * p[KL0]
    volume = (1.0 - x) * (p[VS0] + p[VS1] * th) + x * (p[VL0] + p[VL1] * th)
    return (x * dense + (1.0 - x) * bed) * (1.0 - p[VOID] * (1.0 - x)) / volume


@kernel(apart=True)
def _fill_blend(p, memory, table):
    total = 0.0
    g_before = 0.0
    t_before = 0.0
    t = -60.0
    for i in range(table.shape[0]):
        t, dt_dh, _ = blend_at(p[TABLE_START] + i / p[TABLE_RATE], t, memory, 0, p)
        k, v, _, _, _ = blend_conduction(t, mean_melted(t, p), True, memory, 0, p)
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
        g_before = g
        t_before = t


@kernel(apart=True)
def _fill_plastic(p, table):
    total = 0.0
    g_before = 0.0
    bed_before = 0.0
    t_before = 0.0
    t = -60.0
    for i in range(table.shape[0]):
        t, dt_dh, x, _, _ = state_at(p[TABLE_START] + i / p[TABLE_RATE], t, 0.0, p)
        bed = 0.0
        if any_of(x < 1.0):
            bed = bed_conductivity(t, (1.0 - x) * (p[KS0] + p[KS1] * (t - REFERENCE)) + x * p[KL0], p)
        g = _dense_over_volume(t, bed, p)
        if i > 0:
            middle = _dense_over_volume(0.5 * (t + t_before), 0.5 * (bed + bed_before), p)
            total += (t - t_before) / 6.0 * (g_before + 4.0 * middle + g)
        th = t - REFERENCE
        volume = (1.0 - x) * (p[VS0] + p[VS1] * th) + x * (p[VL0] + p[VL1] * th)
        table[i, 0] = t
        table[i, 1] = dt_dh
        table[i, 2] = total
        table[i, 3] = g * dt_dh
        table[i, 4] = volume / (1.0 - p[VOID] * (1.0 - x))
        g_before = g
        bed_before = bed
        t_before = t


@kernel()
def fill_nodes(p, memory, nodes):
    """The heating branch, X = C = X_m(T), at the nodes: T, dT/dh, Φ, dΦ/dh and v at h = TABLE_START + i / TABLE_RATE.

    Φ(T) = ∫ k/v dT, the Kirchhoff potential, by Simpson's rule in T; one plastic's bed's conductivity, which is
    smooth, is taken linear between nodes. `memory` (1, 3 + parts): of a cell that was never molten.
    """
    if shared(p[PARTS]) > 0.0:
        _fill_blend(p, memory, nodes)
    else:
        _fill_plastic(p, nodes)


@kernel()
def join_nodes(per_node, nodes, table):
    """Coefficients between nodes for `table` (n, NODE): T and Φ are cubic, v is linear."""
    last = nodes.shape[0] - 1
    for i in range(last):
        for of, to in ((0, 0), (2, 4)):
            a, slope_a = nodes[i, of], per_node * nodes[i, of + 1]
            b, slope_b = nodes[i + 1, of], per_node * nodes[i + 1, of + 1]
            table[i, to] = a
            table[i, to + 1] = slope_a
            table[i, to + 2] = 3.0 * (b - a) - 2.0 * slope_a - slope_b
            table[i, to + 3] = 2.0 * (a - b) + slope_a + slope_b
        table[i, 8] = nodes[i, 4]
        table[i, 9] = nodes[i + 1, 4] - nodes[i, 4]


@kernel(types.void(float64[::1], float64[:, ::1]))
def fill_table(p: np.ndarray, table: np.ndarray) -> None:
    """One plastic's or blend's table (n, NODE) for `rates`: between nodes, what `join_nodes` says."""
    nodes = np.empty((table.shape[0], NODE_VALUES))
    fill_nodes(p, np.zeros((1, REMEMBERED + int(p[PARTS]))), nodes)
    join_nodes(1.0 / p[TABLE_RATE], nodes, table)
