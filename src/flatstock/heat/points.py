"""Points of a column that are watched while it is marched: hottest, coldest, faces, crossings; compiled."""

from __future__ import annotations

from flatstock.heat.compiling import kernel
from flatstock.heat.rates import DT_DY, FLUX, HALF_NOW, F, T

__all__ = ["crossing", "extreme", "faces"]


@kernel()
def extreme(first, last, sign, w):
    """Hottest (sign 1) or coldest (-1) point of the cells first … last-1, and its rate of change.

    Vertex of the parabola through the extreme cell and its neighbours; the cell itself at an end.
    """
    best = first
    for i in range(first + 1, last):
        if sign * w[i, T] > sign * w[best, T]:
            best = i
    rate = w[best, F] * w[best, DT_DY]
    if best == first or best == last - 1:
        return w[best, T], rate
    a, b, c = w[best - 1, T], w[best, T], w[best + 1, T]
    bend = a - 2.0 * b + c
    if bend == 0.0:
        return b, rate
    s = 0.5 * (a - c) / bend
    below, above = w[best - 1, F] * w[best - 1, DT_DY], w[best + 1, F] * w[best + 1, DT_DY]
    moving = 0.5 * s * (s - 1.0) * below + (1.0 - s * s) * rate + 0.5 * s * (s + 1.0) * above
    return b - 0.25 * (a - c) * s, moving


@kernel()
def crossing(dt, a, slope_a, b, slope_b):
    """Time in 0 … dt at which the cubic through (a, slope_a) and (b, slope_b), of opposite signs, is zero."""
    low, high = 0.0, 1.0
    for _ in range(50):
        s = 0.5 * (low + high)
        value = (a * (1.0 + 2.0 * s) + dt * slope_a * s) * (1.0 - s) ** 2
        value += (b * (3.0 - 2.0 * s) - dt * slope_b * (1.0 - s)) * s * s
        if (value > 0.0) == (b > 0.0):
            high = s
        else:
            low = s
    return 0.5 * (low + high) * dt


@kernel()
def faces(sheets, sheet, w):
    """True bottom and top face temperature of a sheet."""
    first, last = sheets[sheet, 0], sheets[sheet, 1]
    bottom, top = w[first, T], w[last - 1, T]
    if first > 0:
        bottom += w[first - 1, FLUX] * w[first, HALF_NOW]
    if last < w.shape[0]:
        top -= w[last - 1, FLUX] * w[last - 1, HALF_NOW]
    return bottom, top
