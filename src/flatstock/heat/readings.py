"""What a history says: values at a time, crossings, dips, re-heating. Cubic between recorded steps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Dip", "at", "dip_and_recovery", "highest", "last_above", "rise_above_own_minimum"]

Array = NDArray[np.float64]
ROOT_STEPS = 50  # bisections: 2^-50 of a step


def _cubic(s: Array | float, dt: Array | float, a: Array, da: Array, b: Array, db: Array) -> Array:
    value: Array = (a * (1 + 2 * s) + dt * da * s) * (1 - s) ** 2 + (
        b * (3 - 2 * s) - dt * db * (1 - s)
    ) * s**2
    return value


def at(when: float | Array, time: Array, value: Array, rate: Array) -> Array:
    """Values at the instants `when`, held constant outside the history."""
    t = np.clip(when, time[0], time[-1])
    i = np.clip(np.searchsorted(time, t, side="right") - 1, 0, max(len(time) - 2, 0))
    if len(time) == 1:
        return np.broadcast_to(value[0], np.shape(t)).copy()
    dt = np.where(time[i + 1] > time[i], time[i + 1] - time[i], 1.0)
    return _cubic((t - time[i]) / dt, dt, value[i], rate[i], value[i + 1], rate[i + 1])


def _root(level: float, i: int, time: Array, value: Array, rate: Array) -> float:
    """Instant within step `i` at which the cubic meets `level`; its ends lie on different sides."""
    dt = time[i + 1] - time[i]
    low, high = 0.0, 1.0
    rising = value[i + 1] > level
    for _ in range(ROOT_STEPS):
        s = 0.5 * (low + high)
        above = _cubic(s, dt, value[i], rate[i], value[i + 1], rate[i + 1]) > level
        if above == rising:
            high = s
        else:
            low = s
    return float(time[i] + 0.5 * (low + high) * dt)


def last_above(level: float, time: Array, value: Array, rate: Array) -> float | None:
    """The last instant above `level`; None while still above at the end; the start when never above.

    Not the first crossing: later moulds re-heat a sheet.
    """
    above = np.flatnonzero(value > level)
    if len(above) == 0:
        return float(time[0])
    last = int(above[-1])
    if last == len(time) - 1:
        return None
    return _root(level, last, time, value, rate)


def highest(time: Array, value: Array, rate: Array, *, sign: float = 1.0) -> tuple[float, float]:
    """Highest (sign 1) or lowest (-1) value and its instant, between the steps where the rate turns."""
    i = int(np.argmax(sign * value))
    best, when = float(value[i]), float(time[i])
    for j in (i - 1, i):
        if 0 <= j < len(time) - 1 and sign * rate[j] > 0 > sign * rate[j + 1]:
            s = np.linspace(0, 1, 33)
            inside = _cubic(s, time[j + 1] - time[j], value[j], rate[j], value[j + 1], rate[j + 1])
            k = int(np.argmax(sign * inside))
            if sign * inside[k] > sign * best:
                best, when = float(inside[k]), float(time[j] + s[k] * (time[j + 1] - time[j]))
    return best, when


@dataclass(frozen=True, slots=True)
class Dip:
    """How far a platen falls under its set-point after loading, when, and when it is back within 2 K."""

    depth: float  #: [K]
    lowest: float  #: [°C]
    when: float  #: [s]
    recovered: float | None  #: [s]; None: not in this history


def dip_and_recovery(set_point: float, time: Array, sensor: Array, rate: Array) -> Dip:
    """Dip of one platen's sensor; recovery is the first instant after the minimum at set-point - 2 K."""
    lowest, when = highest(time, sensor, rate, sign=-1.0)
    later = np.flatnonzero((time > when) & (sensor >= set_point - 2.0))
    recovered = None
    if lowest >= set_point - 2.0:
        recovered = when
    elif len(later):
        i = int(later[0])
        recovered = (
            _root(set_point - 2.0, i - 1, time, sensor, rate) if sensor[i - 1] < set_point - 2.0 else time[i]
        )
    return Dip(depth=max(0.0, set_point - lowest), lowest=lowest, when=when, recovered=recovered)


def rise_above_own_minimum(value: Array) -> float:
    """The largest rise of a series above its own earlier minimum."""
    return float(np.max(value - np.minimum.accumulate(value)))
