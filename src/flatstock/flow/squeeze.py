"""A melt pressed out between two parallel plates: force, speed, and the time to a smaller gap.

Lubrication theory: the gap is thin against the plan, melt sticks to both plates, inertia and
gravity do not count, and the stress is `consistency` · rate^`index` (a power law; `index` 1 is a
Newtonian melt and `consistency` its viscosity). Stefan's equation for the Newtonian disc, Scott's
for the power law; derived in docs/flow.md.
"""

from __future__ import annotations

from math import pi

from flatstock.errors import OutOfRange
from flatstock.flow.ranges import falling, not_negative, positive

__all__ = [
    "disc_force",
    "disc_pressure",
    "disc_speed",
    "disc_spreading_time",
    "disc_time",
    "strip_force",
]


def disc_force(*, radius: float, gap: float, speed: float, consistency: float, index: float = 1.0) -> float:
    """Force [N] that closes a disc filling its plates: 2πK((2n+1)/n)ⁿ Vⁿ R^(n+3) / ((n+3) h^(2n+1)).

    Parameters
    ----------
    radius, gap : float
        Of the melt [m]; the gap small against the radius.
    speed : float
        At which the gap closes [m/s].
    consistency, index : float
        Power law [Pa sⁿ], [-]; index 1 and the viscosity [Pa s] give Stefan's 3πμR⁴V / 2h³.

    >>> round(disc_force(radius=0.1, gap=0.005, speed=1e-4, consistency=1e4), 1)
    3769.9
    """
    positive(gap=gap)
    not_negative(speed=speed)
    drag = _disc_drag(consistency, index) * _power(radius, index + 3) / gap ** (2 * index + 1)
    return float(drag * speed**index)


def disc_speed(*, radius: float, gap: float, force: float, consistency: float, index: float = 1.0) -> float:
    """Speed [m/s] at which `force` [N] closes a disc filling its plates; undoes `disc_force`.

    >>> round(disc_speed(radius=0.1, gap=0.005, force=3769.9, consistency=1e4) * 1e3, 4)
    0.1
    """
    positive(gap=gap)
    not_negative(force=force)
    drag = _disc_drag(consistency, index) * _power(radius, index + 3) / gap ** (2 * index + 1)
    return float((force / drag) ** (1 / index))


def disc_pressure(*, force: float, radius: float, at: float = 0.0, index: float = 1.0) -> float:
    """Pressure [Pa] at distance `at` from the middle of a disc that `force` [N] closes, 0 at the rim.

    p = (n+3)/(n+1) · F/(πR²) · (1 − (r/R)^(n+1)); a Newtonian disc has twice the mean in the middle.

    >>> round(disc_pressure(force=3769.9, radius=0.1) / 1e3)
    240
    """
    not_negative(force=force, at=at)
    positive(radius=radius, index=index)
    if at > radius:
        raise OutOfRange(f"at {at} m lies outside the disc of radius {radius} m.")
    mean = force / (pi * radius**2)
    return float((index + 3) / (index + 1) * mean * (1 - (at / radius) ** (index + 1)))


def disc_time(
    *, radius: float, start: float, end: float, force: float, consistency: float, index: float = 1.0
) -> float:
    """Time [s] in which a constant `force` closes full plates of fixed radius from `start` to `end` [m].

    (2n+1)/(n+1) · (2πK R^(n+3) / ((n+3)F))^(1/n) · (1/end^(1+1/n) − 1/start^(1+1/n)); Newtonian
    3πμR⁴/4F · (1/end² − 1/start²). Melt leaves over the rim.

    >>> round(disc_time(radius=0.1, start=0.010, end=0.005, force=20e3, consistency=1e4), 4)
    3.5343
    """
    falling(start, end)
    positive(force=force)
    slowness = (_disc_slowness(consistency, index) * _power(radius, index + 3) / force) ** (1 / index)
    steep = 1 + 1 / index
    return float((2 * index + 1) / index * slowness * _integral(start, end, steep + 1))


def disc_spreading_time(
    *, volume: float, start: float, end: float, force: float, consistency: float, index: float = 1.0
) -> float:
    """Time [s] in which a constant `force` spreads a round charge of `volume` [m3] to the gap `end` [m].

    The plates are wider than the melt, so the radius grows as the gap falls; nothing leaves.
    Newtonian: 3μVol²/8πF · (1/end⁴ − 1/start⁴).

    >>> round(disc_spreading_time(volume=3.1416e-4, start=0.010, end=0.005, force=20e3, consistency=1e4), 3)
    8.836
    """
    falling(start, end)
    positive(force=force)
    reach = _power(volume / pi, (index + 3) / 2)  # R^(n+3) less its power of the gap
    slowness = (_disc_slowness(consistency, index) * reach / force) ** (1 / index)
    steep = 5 / 2 * (1 + 1 / index)
    return float((2 * index + 1) / index * slowness * _integral(start, end, steep))


def strip_force(*, width: float, gap: float, speed: float, consistency: float, index: float = 1.0) -> float:
    """Force per metre of a long strip that flows out over both long edges [N/m]; `width` across [m].

    4K/h · (2(2n+1)V/(n h²))ⁿ · (width/2)^(n+2) / (n+2); Newtonian μ·width³·V/h³.

    >>> round(strip_force(width=0.2, gap=0.005, speed=1e-4, consistency=1e4))
    64000
    """
    positive(width=width, gap=gap, consistency=consistency, index=index)
    not_negative(speed=speed)
    gradient = 2 * consistency / gap * (2 * (2 * index + 1) * speed / (index * gap**2)) ** index
    return float(2 * gradient * (width / 2) ** (index + 2) / (index + 2))


def _disc_drag(consistency: float, index: float) -> float:
    return float(_disc_slowness(consistency, index) * ((2 * index + 1) / index) ** index)


def _disc_slowness(consistency: float, index: float) -> float:
    positive(consistency=consistency, index=index)
    return 2 * pi * consistency / (index + 3)


def _power(length: float, exponent: float) -> float:
    positive(length=length)
    return float(length**exponent)


def _integral(start: float, end: float, exponent: float) -> float:
    """∫ dh / h^exponent from `end` to `start`."""
    return float((end ** (1 - exponent) - start ** (1 - exponent)) / (exponent - 1))
