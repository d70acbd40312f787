"""How much flake to weigh for a sheet, and how thick the sheet gets from a given mass.

The frame gives the sheet its plan and the charge its thickness, so the charge is reckoned on the
cold area: m = ρ(23 °C) · A_cold · thickness, more by an allowance for flash. Plain conservation of
mass; nothing here needs a source but the density and the shrinkage, which the caller brings.
"""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.errors import OutOfRange
from flatstock.flow.ranges import not_negative, positive, share

__all__ = ["blend_density", "charge_with_allowance", "net_charge", "sheet_thickness", "wet_mass"]

SHARES_CLOSE_WITHIN = 1e-6  # shares come from files with a few digits: 0.333 + 0.333 + 0.334


def net_charge(*, thickness: float, density: float, cold_area: float) -> float:
    """Mass of the finished, untrimmed sheet [kg].

    Parameters
    ----------
    thickness : float
        Of the cold sheet [m].
    density : float
        Of the solid at 23 °C [kg/m3]; of a blend: `blend_density`.
    cold_area : float
        Plan area of the cold sheet before trimming [m2]: `shrinkage.cold_area`.

    >>> round(net_charge(thickness=0.012, density=950.0, cold_area=1.0043), 2)
    11.45
    """
    positive(thickness=thickness, density=density, cold_area=cold_area)
    return density * cold_area * thickness


def charge_with_allowance(*, net_charge: float, allowance: float) -> float:
    """Charge with what is expected to leave as flash [kg]; `allowance` is a fraction of the net charge.

    >>> round(charge_with_allowance(net_charge=11.45, allowance=0.025), 2)
    11.74
    """
    positive(net_charge=net_charge)
    share(allowance=allowance)
    return net_charge * (1 + allowance)


def sheet_thickness(*, mass: float, density: float, cold_area: float) -> float:
    """Mean thickness of the cold sheet that `mass` gives [m]: the charge less what left as flash [kg].

    Voids are not counted: a sheet with voids is thicker than this.

    >>> round(1e3 * sheet_thickness(mass=11.74 - 0.31, density=950.0, cold_area=1.0043), 2)
    11.98
    """
    not_negative(mass=mass)
    positive(density=density, cold_area=cold_area)
    return mass / (density * cold_area)


def blend_density(*, parts: Iterable[tuple[float, float]]) -> float:
    """Density of a blend [kg/m3] whose parts keep their own volume: 1/ρ = Σ w/ρ.

    Parameters
    ----------
    parts : iterable of (float, float)
        Mass share and density [kg/m3] of each part; shares 0 to 1 that sum to 1 within 1e-6.

    Raises
    ------
    OutOfRange
        A share outside 0 to 1, a density of 0 or less, or shares that do not sum to 1.

    >>> round(blend_density(parts=[(0.7, 950.0), (0.3, 905.0)]), 1)
    936.0
    """
    pairs = tuple(parts)
    for weight, density in pairs:
        not_negative(share=weight)
        positive(density=density)
    total = sum(weight for weight, _ in pairs)
    if abs(total - 1) > SHARES_CLOSE_WITHIN:
        raise OutOfRange(f"the shares sum to {total:.6g}; they must sum to 1.")
    return total / sum(weight / density for weight, density in pairs)


def wet_mass(*, dry_mass: float, moisture: float) -> float:
    """What moist flake weighs that holds `dry_mass` of plastic [kg].

    `moisture` is the mass share of water in the flake as weighed, 0 to <1 (mass loss on drying).

    >>> round(wet_mass(dry_mass=11.70, moisture=0.003), 3)
    11.735
    """
    positive(dry_mass=dry_mass)
    share(moisture=moisture)
    return dry_mass / (1 - moisture)
