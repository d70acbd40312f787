"""The laws of a charge of several plastics, compiled: sums over its parts, which keep their own laws.

A press does not mix: flakes of two plastics stay side by side at one temperature. So the blend's enthalpy, volume
and conductivity are the sums of its parts' by mass, and each part melts and freezes in its own range, with its own
memory. Consolidated is one number for all: the largest share by mass that has ever been molten under pressure.

A blend's row (`blend.Blend.row`) begins as a plastic's, with the sums of what can be added up and a melting range
from the first onset to the last end; then, for each part, its share and the numbers of its own row. The memory of a
cell goes on likewise: behind melted, consolidated and water the melted fraction of each part. Functions here take
rows of one plastic, too. Equations: docs/heat.md, "Blends".
"""

from __future__ import annotations

from flatstock.heat.compiling import kernel
from flatstock.heat.lanes import all_of, any_of, select, shared
from flatstock.heat.laws import (
    BOILING,
    D0,
    D1,
    D2,
    HS1,
    HS2,
    KL0,
    KS0,
    KS1,
    PARTS,
    REFERENCE,
    ROW,
    TABLE_START,
    VL0,
    VL1,
    VOID,
    VS0,
    VS1,
    bed_conductivity,
    freezing_slope,
    frozen,
    melted,
    melting_slope,
    specific_enthalpy,
)

__all__ = [
    "blend_at",
    "blend_conduction",
    "boiling_enthalpy",
    "enthalpy_of_cell",
    "mean_melted",
    "mean_melting_slope",
    "mean_played",
    "remember",
]

PART = 1 + TABLE_START  # numbers of a part: its share, then its own row without what belongs to a table
# the numbers of part j are p[ROW + j * PART + 1 : ROW + (j + 1) * PART]; a kernel that counts no references can't
# return a view, so that stands wherever it is needed
REMEMBERED = 3  # columns of a cell's memory before those of its parts


@kernel()
def _share(j, p):
    return p[ROW + j * PART]


@kernel()
def _played(t, before, q):
    """A part's melted fraction at `t`, coming from `before`, and its slope: the play rule of `laws.state_at`."""
    low = melted(t, q)
    melting = before <= low
    if all_of(melting):
        return low, melting_slope(t, q)
    high = frozen(t, q)
    freezing = before >= high
    slope = select(melting, melting_slope(t, q), select(freezing, freezing_slope(t, q), 0.0))
    return select(melting, low, select(freezing, high, before)), slope


@kernel()
def mean_melted(t, p):
    """Melted fraction on the heating curve, by mass over all parts."""
    if shared(p[PARTS]) == 0.0:
        return melted(t, p)
    found = 0.0
    for j in range(int(shared(p[PARTS]))):
        found += _share(j, p) * melted(t, p[ROW + j * PART + 1 : ROW + (j + 1) * PART])
    return found


@kernel()
def mean_melting_slope(t, p):
    """Its slope [1/K]."""
    if shared(p[PARTS]) == 0.0:
        return melting_slope(t, p)
    found = 0.0
    for j in range(int(shared(p[PARTS]))):
        found += _share(j, p) * melting_slope(t, p[ROW + j * PART + 1 : ROW + (j + 1) * PART])
    return found


@kernel()
def enthalpy_of_cell(t, memory, i, p):
    """Enthalpy of cell `i` at `t`, as molten as its memory (n, 3 + parts) says [J/kg]."""
    if shared(p[PARTS]) == 0.0:
        return specific_enthalpy(t, memory[i, 0], p)
    found = 0.0
    for j in range(int(shared(p[PARTS]))):
        found += _share(j, p) * specific_enthalpy(
            t, memory[i, REMEMBERED + j], p[ROW + j * PART + 1 : ROW + (j + 1) * PART]
        )
    return found


@kernel()
def boiling_enthalpy(memory, i, p):
    """Enthalpy at which the water of cell `i` boils, 100 °C [J/kg]."""
    if shared(p[PARTS]) == 0.0:
        x = min(max(memory[i, 0], melted(BOILING, p)), frozen(BOILING, p))
        return specific_enthalpy(BOILING, x, p)
    found = 0.0
    for j in range(int(shared(p[PARTS]))):
        q = p[ROW + j * PART + 1 : ROW + (j + 1) * PART]
        x, _ = _played(BOILING, memory[i, REMEMBERED + j], q)
        found += _share(j, p) * specific_enthalpy(BOILING, x, q)
    return found


@kernel()
def mean_played(t, memory, i, p):
    """Melted fraction of cell `i` at `t` by mass over all parts, each coming from its memory."""
    found = 0.0
    for j in range(int(shared(p[PARTS]))):
        x, _ = _played(t, memory[i, REMEMBERED + j], p[ROW + j * PART + 1 : ROW + (j + 1) * PART])
        found += _share(j, p) * x
    return found


@kernel()
def remember(t, memory, i, taken, p):
    """Bring the parts' melted fractions of cell `i` up to date at the end of a step that is `taken`, at `t`."""
    for j in range(int(shared(p[PARTS]))):
        before = memory[i, REMEMBERED + j]
        x, _ = _played(t, before, p[ROW + j * PART + 1 : ROW + (j + 1) * PART])
        memory[i, REMEMBERED + j] = select(taken, x, before)


@kernel(apart=True)
def blend_at(h: float, guess: float, memory, i: int, p) -> tuple[float, float, float]:
    """Temperature, dT/dh and mean melted fraction of cell `i` at enthalpy `h`, coming from its memory.

    The parts share one temperature; h is a monotonic function of it, as in `laws.state_at`.
    """
    low = -300.0
    high = 900.0
    t = guess
    c = 1.0
    mean = 0.0
    for turn in range(60):
        th = t - REFERENCE
        off = h
        c = 0.0
        mean = 0.0
        for j in range(int(shared(p[PARTS]))):
            share, q = _share(j, p), p[ROW + j * PART + 1 : ROW + (j + 1) * PART]
            x, slope = _played(t, memory[i, REMEMBERED + j], q)
            gap = q[D0] + th * (q[D1] + q[D2] * th)
            off -= share * (th * (q[HS1] + q[HS2] * th) + x * gap)
            c += share * (q[HS1] + 2.0 * q[HS2] * th + x * (q[D1] + 2.0 * q[D2] * th) + gap * slope)
            mean += share * x
        change = off / c
        moving = abs(change) >= 1e-6  # one that has arrived stays where it would have stopped alone
        if not any_of(moving):
            return t + change, 1.0 / c, mean
        up = change > 0.0
        low, high = select(up, t, low), select(up, high, t)
        next_t = t + change
        if turn > 6:
            next_t = select((low < next_t) & (next_t < high), next_t, 0.5 * (low + high))
        t = select(moving, next_t, t)
    return t, 1.0 / c, mean


@kernel(apart=True)
def blend_conduction(
    t: float, c: float, grown: bool, memory, i: int, p
) -> tuple[float, float, float, float, float]:
    """Conductivity, specific volume, their slopes to T, and the slope of the mean melted fraction, of cell `i`.

    `c`: share consolidated; `grown`: it is the melted fraction of now, and moves with it.
    """
    mean_slope = 0.0
    for j in range(int(shared(p[PARTS]))):
        _, slope = _played(t, memory[i, REMEMBERED + j], p[ROW + j * PART + 1 : ROW + (j + 1) * PART])
        mean_slope += _share(j, p) * slope
    dc = select(grown, mean_slope, 0.0)
    th = t - REFERENCE
    k = v = dk = dv = 0.0
    for j in range(int(shared(p[PARTS]))):
        share, q = _share(j, p), p[ROW + j * PART + 1 : ROW + (j + 1) * PART]
        x, slope = _played(t, memory[i, REMEMBERED + j], q)
        vs = q[VS0] + q[VS1] * th
        vl = q[VL0] + q[VL1] * th
        packing = 1.0 / (1.0 - q[VOID] * (1.0 - c))
        own = ((1.0 - x) * vs + x * vl) * packing
        v += share * own
        dv += share * (
            ((1.0 - x) * q[VS1] + x * q[VL1] + (vl - vs) * slope) * packing - own * packing * q[VOID] * dc
        )
        solid = q[KS0] + q[KS1] * th
        dense = (1.0 - x) * solid + x * q[KL0]
        slope_dense = (1.0 - x) * q[KS1] + (q[KL0] - solid) * slope
        if any_of(c < 1.0):
            bed = bed_conductivity(t, dense, q)
            slope_dense = c * slope_dense + (dense - bed) * dc
            dense = c * dense + (1.0 - c) * bed
        k += share * dense
        dk += share * slope_dense
    return k, v, dk, dv, mean_slope
