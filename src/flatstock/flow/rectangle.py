"""A Newtonian melt pressed out between rectangular plates: the torsion analogy.

The pressure under a rectangle that closes at an even speed solves the same equation (∇²p = const,
p = 0 on the rim) as Prandtl's stress function of a twisted bar, so the force is 3 β μ V a b³ / h³ with
the bar's torsion factor β, b the shorter side.
"""

from __future__ import annotations

from itertools import count
from math import pi, tanh

from flatstock.flow.ranges import falling, not_negative, positive

__all__ = ["rectangle_force", "rectangle_spreading_time", "torsion_factor"]


def torsion_factor(ratio: float) -> float:
    """β of a rectangle with sides in `ratio` (either way round), 0.1406 for the square to 1/3.

    β = 1/3 · (1 − 192/π⁵ · b/a · Σ tanh(kπa/2b)/k⁵), k odd: Saint-Venant's series as in Timoshenko &
    Goodier, Theory of Elasticity, torsion of rectangular bars, from memory. Summed until a term no
    longer changes the sum.

    >>> round(torsion_factor(1.0), 4), round(torsion_factor(1.250 / 0.840), 4)
    (0.1406, 0.1948)
    """
    positive(ratio=ratio)
    slender = max(ratio, 1 / ratio)
    total = 0.0
    for k in count(1, 2):
        term = tanh(k * pi * slender / 2) / k**5
        if total + term == total:
            break
        total += term
    return (1 - 192 / pi**5 / slender * total) / 3


def rectangle_force(*, length: float, width: float, gap: float, speed: float, viscosity: float) -> float:
    """Force [N] that closes a rectangle of melt filling its plates: 3 β μ V a b³ / h³.

    Lengths [m], the gap small against both sides; `speed` [m/s]; Newtonian `viscosity` [Pa s].

    >>> round(rectangle_force(length=0.2, width=0.2, gap=0.005, speed=1e-4, viscosity=1e4), 1)
    5398.2
    """
    positive(gap=gap, viscosity=viscosity)
    not_negative(speed=speed)
    return 3 * viscosity * speed * _stiffness(length, width) / gap**3


def rectangle_spreading_time(
    *, volume: float, ratio: float, start: float, end: float, force: float, viscosity: float
) -> float:
    """Time [s] in which a constant `force` [N] spreads a rectangle of melt to the gap `end` [m].

    The rectangle keeps the `ratio` of its sides, an idealisation: free melt rounds off. With
    Vol = a b h the factor a b³ is Vol²/(ratio h²), and the time 3 β μ Vol² / (4 ratio F) ·
    (1/end⁴ − 1/start⁴).

    >>> round(rectangle_spreading_time(volume=0.0154, ratio=1.488, start=0.030, end=0.01471,
    ...                                force=262.5e3, viscosity=1e4), 1)
    17.8
    """
    falling(start, end)
    positive(volume=volume, force=force, viscosity=viscosity)
    slender = max(ratio, 1 / ratio)
    factor = 3 * torsion_factor(ratio) * viscosity * volume**2 / (4 * slender * force)
    return factor * (end**-4 - start**-4)


def _stiffness(length: float, width: float) -> float:
    """β a b³ with b the shorter side [m4]."""
    positive(length=length, width=width)
    short, long = sorted((length, width))
    return torsion_factor(long / short) * long * short**3
