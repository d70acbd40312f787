"""From a computed charge to numbers that a scale can show: rounding, parts of a recipe, tolerance."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from flatstock.errors import OutOfRange
from flatstock.flow.charge import SHARES_CLOSE_WITHIN
from flatstock.flow.ranges import not_negative, positive

__all__ = ["round_to_step", "split_by_shares", "thickness_effect", "tolerance_mass"]

# A mass is written as whole steps times the step; this many decimals of a kilogram take away the
# binary dust (587 x 0.02 = 11.740000000000002) and nothing that a scale could show.
DECIMALS = 9


def round_to_step(mass: float, *, step: float) -> float:
    """`mass` [kg] to the nearest whole number of scale steps [kg]; a half goes up.

    >>> round_to_step(11.7374, step=0.02)
    11.74
    """
    return _masses([_whole_steps(mass, step)], step)[0]


def split_by_shares(mass: float, *, shares: Sequence[float], step: float) -> tuple[float, ...]:
    """Parts [kg] of a charge, each a whole number of steps, that together are the rounded charge.

    Every part is first rounded down; the steps left over go to the parts that lost most by it, the
    earlier of two that lost the same (the method of largest remainders). So no part is off its share
    by a whole step. A share smaller than half a step may come out as 0: such a lot needs a finer
    scale, and the caller should say so.

    Parameters
    ----------
    mass : float
        The whole charge [kg].
    shares : sequence of float
        Mass shares, 0 to 1, that sum to 1 within 1e-6.
    step : float
        Scale step [kg].

    >>> split_by_shares(11.7374, shares=[0.70, 0.20, 0.10], step=0.02)
    (8.22, 2.34, 1.18)
    """
    if not shares:
        raise OutOfRange("no shares were given; a charge has at least one part.")
    for one in shares:
        not_negative(share=one)
    total = sum(shares)
    if abs(total - 1) > SHARES_CLOSE_WITHIN:
        raise OutOfRange(f"the shares sum to {total:.6g}; they must sum to 1.")
    steps = _whole_steps(mass, step)
    exact = [steps * one / total for one in shares]
    whole = [floor(one) for one in exact]
    most_lost_first = sorted(range(len(shares)), key=lambda i: whole[i] - exact[i])
    for i in most_lost_first[: steps - sum(whole)]:
        whole[i] += 1
    return tuple(_masses(whole, step))


def tolerance_mass(*, thickness_tolerance: float, density: float, cold_area: float, step: float) -> float:
    """How far a weighing may be off [kg] for the sheet to stay within `thickness_tolerance` [m].

    Never less than one scale step [kg]. `density` [kg/m3] at 23 °C, `cold_area` [m2].

    >>> round(tolerance_mass(thickness_tolerance=1e-4, density=950.0, cold_area=1.0043, step=0.02), 3)
    0.095
    """
    not_negative(thickness_tolerance=thickness_tolerance)
    positive(density=density, cold_area=cold_area, step=step)
    return max(density * cold_area * thickness_tolerance, step)


def thickness_effect(mass: float, *, density: float, cold_area: float) -> float:
    """What `mass` [kg] more or less in the charge does to the thickness [m], with the same sign.

    >>> round(1e3 * thickness_effect(-0.35, density=950.0, cold_area=1.0043), 2)
    -0.37
    """
    positive(density=density, cold_area=cold_area)
    return mass / (density * cold_area)


def _whole_steps(mass: float, step: float) -> int:
    not_negative(mass=mass)
    positive(step=step)
    return floor(mass / step + 0.5)


def _masses(steps: Sequence[int], step: float) -> list[float]:
    return [round(n * step, DECIMALS) for n in steps]
