"""Whether the wedges of the last sheets of one press point the same way."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, radians

from flatstock.quality.thickness import ThicknessMap

__all__ = ["AGREE", "LEAST", "SHEETS", "same_side"]

SHEETS = 3  #: that are compared
AGREE = 45.0  #: directions nearer than this are one [degrees]; our own figure
LEAST = 0.1e-3  #: a wedge below this is no wedge: what a calliper tells [m]; our own figure


def same_side(maps: Sequence[ThicknessMap]) -> bool | None:
    """True: the last three rise the same way, so it is the press; False: they don't; None: fewer than three.

    Slopes g = (b, c) of the plane agree where g₁·g₂ ≥ |g₁||g₂| cos 45° for every two of them.
    """
    last = list(maps)[-SHEETS:]
    if len(last) < SHEETS:
        return None
    if any(one.wedge < LEAST for one in last):
        return False
    least = cos(radians(AGREE))
    for n, one in enumerate(last):
        for other in last[n + 1 :]:
            along = one.slope_x * other.slope_x + one.slope_y * other.slope_y
            lengths = hypot(one.slope_x, one.slope_y) * hypot(other.slope_x, other.slope_y)
            if along < least * lengths:
                return False
    return True
