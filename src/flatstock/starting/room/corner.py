"""A rigid load round a right-angled corner of two ways, on the floor, without lifting it.

With its outer edge touching both outer walls at an angle t, the inner corner is free when
p cos t + q sin t - l sin t cos t >= b for every t between 0 and 90 degrees (l the length, b the width of the load,
p and q of the ways). Equal ways: p = (b + l / 2) / sqrt 2, at 45 degrees; a ladder, b = 0: l = (p^2/3 + q^2/3)^3/2,
the astroid (both common knowledge; the tests recompute them). A load that is longer than twice what passes at
45 degrees is not asked about: the least is looked for over all angles.
"""

from __future__ import annotations

from math import cos, pi, sin, sqrt

from flatstock.errors import OutOfRange

__all__ = ["equal_ways", "longest_ladder", "widest_load"]

_STEPS = 2000  # first look, every 0.045 degrees


def equal_ways(length: float, width: float) -> float:
    """How wide two equal ways must be for a load `length` by `width`, in their unit.

    Where the load is not longer than it would have to be to hit the inner corner, its own width decides.

    >>> round(equal_ways(1.25, 0.85), 4), round(equal_ways(1.45, 1.05), 4)
    (1.043, 1.2551)
    """
    return max(width, (width + length / 2) / sqrt(2))


def longest_ladder(p: float, q: float) -> float:
    """The longest thin load that goes round a corner of ways `p` and `q`, in their unit.

    >>> round(longest_ladder(1.2, 0.9), 4)
    2.9597
    """
    return float((_over_0(p) ** (2 / 3) + _over_0(q) ** (2 / 3)) ** 1.5)


def widest_load(p: float, q: float, length: float) -> float:
    """The widest load of a length that goes round a corner of ways `p` and `q`, in their unit; 0 where none does.

    >>> round(widest_load(1.2, 1.0, 1.5), 4), round(widest_load(1.2, 1.1, 1.5), 4)
    (0.7987, 0.8745)
    """
    _over_0(p), _over_0(q), _over_0(length)

    def free(t: float) -> float:
        return p * cos(t) + q * sin(t) - length * sin(t) * cos(t)

    near = min(range(_STEPS + 1), key=lambda n: free(n * pi / 2 / _STEPS)) * pi / 2 / _STEPS
    low, high = max(0.0, near - pi / 2 / _STEPS), min(pi / 2, near + pi / 2 / _STEPS)
    for _ in range(60):  # golden enough: thirds, to the last bit
        a, b = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, b) if free(a) < free(b) else (a, high)
    return max(0.0, min(p, q, free((low + high) / 2)))


def _over_0(number: float) -> float:
    if not number > 0:
        raise OutOfRange(f"{number} must be over 0")
    return number
