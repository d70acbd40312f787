"""Loose flake laid level on a frame: how far its edges fall off, and what it then covers of the cavity."""

from __future__ import annotations

from math import radians, tan

from flatstock.errors import OutOfRange
from flatstock.flow.ranges import positive

__all__ = ["covered_share"]

STEPS = 60  #: of the halving: to the last digit


def covered_share(*, volume: float, frame: float, length: float, width: float, repose: float) -> float:
    """Share of a cavity that the heap would cover with upright sides, as high as its flat top is.

    Up to the frame's height the frame holds the flake; what lies above falls off from the frame's edge at the
    angle of repose, a hip roof with a flat top. 1.0 where nothing lies above the frame; where not even a ridge
    holds so much, a collar must, and it is 1.0 too.

    Parameters
    ----------
    volume
        Of the loose charge [m3].
    frame, length, width
        Height of the frame, and its cavity [m].
    repose
        Angle of repose of the loose flake [deg], above 0 and up to 90: upright.

    >>> round(covered_share(volume=0.0356, frame=0.012, length=1.250, width=0.840, repose=42.0), 3)
    0.967
    """
    positive(volume=volume, frame=frame, length=length, width=width, repose=repose)
    if repose > 90:
        raise OutOfRange(f"an angle of repose of {repose:g} deg is more than upright.")
    above = volume - frame * length * width
    slope = tan(radians(repose))

    def held(height: float) -> float:
        back = height / slope
        return height * (length * width - back * (length + width) + 4 / 3 * back**2)

    ridge = slope * min(length, width) / 2
    if above <= 0 or above >= held(ridge):
        return 1.0
    low, high = 0.0, above / (length * width)
    while held(high) < above:
        high = min(2 * high, ridge)
    for _ in range(STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if held(middle) < above else (low, middle)
    return volume / ((frame + high) * length * width)
