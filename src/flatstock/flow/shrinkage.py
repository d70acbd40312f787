"""From the cavity to the cold sheet and back: linear shrinkage, and what it leaves for the thickness.

Linear shrinkage is (cavity − part) / cavity, both measured at room temperature: the definition of
moulding shrinkage in ISO 294-4, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.errors import OutOfRange
from flatstock.flow.ranges import not_negative, positive, share

__all__ = [
    "cavity_for",
    "cold_area",
    "cold_length",
    "isotropic_shrinkage",
    "linear_shrinkage",
    "thickness_shrinkage",
    "volume_shrinkage",
]


def cold_length(*, cavity: float, shrinkage: float) -> float:
    """Length of the cold sheet that a cavity gives [m]; `cavity` [m], `shrinkage` a fraction 0 to <1.

    >>> round(cold_length(cavity=1.250, shrinkage=0.022), 4)
    1.2225
    """
    positive(cavity=cavity)
    share(shrinkage=shrinkage)
    return cavity * (1 - shrinkage)


def cold_area(*, cavity_length: float, cavity_width: float, shrinkage: float) -> float:
    """Plan area of the cold sheet before trimming [m2]; lengths [m], `shrinkage` a fraction 0 to <1.

    >>> round(cold_area(cavity_length=1.250, cavity_width=0.840, shrinkage=0.022), 4)
    1.0043
    """
    length = cold_length(cavity=cavity_length, shrinkage=shrinkage)
    return length * cold_length(cavity=cavity_width, shrinkage=shrinkage)


def cavity_for(*, trimmed: float, trim: float, shrinkages: Iterable[float]) -> float:
    """Cavity length [m] that still gives the trimmed sheet with the plastic that shrinks most.

    Parameters
    ----------
    trimmed : float
        Wanted length of the trimmed, cold sheet [m].
    trim : float
        Cut from each of the two edges [m].
    shrinkages : iterable of float
        Linear shrinkage of every plastic the mould is meant for, fractions 0 to <1, at least one.

    Source
    ------
    (trimmed + 2 trim) / (1 − s): the definition of linear shrinkage, solved for the cavity.

    >>> round(cavity_for(trimmed=1.200, trim=0.011, shrinkages=[0.022, 0.015, 0.005]), 4)
    1.2495
    """
    positive(trimmed=trimmed)
    not_negative(trim=trim)
    every = tuple(shrinkages)
    if not every:
        raise OutOfRange("no shrinkage was given; a cavity is sized for at least one plastic.")
    for one in every:
        share(shrinkage=one)
    return (trimmed + 2 * trim) / (1 - max(every))


def linear_shrinkage(*, cavity: float, part: float) -> float:
    """The shop's own linear shrinkage, a fraction, from cavity and cold part, both cold [m].

    A negative answer (the part longer than its cavity) is returned as it is: one of the two
    lengths was not measured cold, or a taper was measured at the wrong edge.

    >>> round(linear_shrinkage(cavity=1.000, part=0.975), 6)
    0.025
    """
    positive(cavity=cavity, part=part)
    return 1 - part / cavity


def volume_shrinkage(*, melt_density: float, density: float) -> float:
    """Share of its volume that melt loses on the way to the cold solid; densities [kg/m3].

    >>> round(volume_shrinkage(melt_density=760.0, density=950.0), 4)
    0.2
    """
    positive(melt_density=melt_density, density=density)
    return 1 - melt_density / density


def isotropic_shrinkage(*, melt_density: float, density: float) -> float:
    """Linear shrinkage if the volume were lost evenly in all three directions, a fraction.

    In a frame it is not: the plan is held by the frame and most of the loss goes into the thickness.

    >>> round(isotropic_shrinkage(melt_density=760.0, density=950.0), 4)
    0.0717
    """
    positive(melt_density=melt_density, density=density)
    return float(1 - (melt_density / density) ** (1 / 3))


def thickness_shrinkage(*, melt_density: float, density: float, shrinkage: float) -> float:
    """Share of its height that the melt loses when the plan shrinks by `shrinkage` a side.

    Mass is kept: level·ρ_melt·cavity = thickness·ρ·cavity·(1 − s)². Densities [kg/m3].

    >>> round(thickness_shrinkage(melt_density=760.0, density=950.0, shrinkage=0.022), 4)
    0.1636
    """
    positive(melt_density=melt_density, density=density)
    share(shrinkage=shrinkage)
    return 1 - melt_density / density / (1 - shrinkage) ** 2
