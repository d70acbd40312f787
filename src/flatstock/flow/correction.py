"""What the last sheet says about the next charge, and whether the weighings of the last one agree."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from flatstock.flow.ranges import not_negative, positive

__all__ = ["Balance", "Correction", "MassBalance", "corrected_charge", "mass_balance"]

#: Share of the charge that may be missing before it is called missing. Assumed: three weighings of
#: 20 g steps and a few flakes on the bench make well under 1 % of a 12 kg charge.
CLOSES_WITHIN = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """The next charge, and the two reasons it differs from the last."""

    charge: float  #: next charge [kg]
    change: float  #: next less last [kg]
    for_thickness: float  #: of the change, to bring the thickness to the wanted one [kg]
    for_flash: float  #: of the change, because more or less flash is expected than came out [kg]


def corrected_charge(
    *,
    charge: float,
    thickness: float,
    wanted: float,
    density: float,
    cold_area: float,
    flash: float = 0.0,
    flash_next: float | None = None,
) -> Correction:
    """The charge that brings the next sheet to the wanted thickness in one step.

    Δm = ρ · A_cold · Δh + change in flash. With the same press, the same material and no voids, one
    step is enough: a sheet of the corrected charge comes out at `wanted`.

    Parameters
    ----------
    charge : float
        What the last sheet was made from, as weighed [kg].
    thickness, wanted : float
        Mean thickness of that sheet, measured cold, and the one wanted [m].
    density : float
        Of the solid at 23 °C [kg/m3].
    cold_area : float
        Plan area of the cold, untrimmed sheet [m2].
    flash : float
        Weighed flash of the last sheet [kg].
    flash_next : float or None
        Flash expected of the next one [kg]; None: the same again.

    Raises
    ------
    OutOfRange
        A number that is not positive, or a correction that would leave no charge.

    >>> next_time = corrected_charge(charge=11.74, thickness=0.0116, wanted=0.012, density=950.0,
    ...                              cold_area=1.0043, flash=0.62, flash_next=0.29)
    >>> round(next_time.charge, 2), round(next_time.for_thickness, 2), round(next_time.for_flash, 2)
    (11.79, 0.38, -0.33)
    """
    positive(charge=charge, thickness=thickness, wanted=wanted, density=density, cold_area=cold_area)
    not_negative(flash=flash)
    for_flash = 0.0
    if flash_next is not None:
        not_negative(flash_next=flash_next)
        for_flash = flash_next - flash
    for_thickness = density * cold_area * (wanted - thickness)
    change = for_thickness + for_flash
    positive(corrected_charge=charge + change)
    return Correction(charge=charge + change, change=change, for_thickness=for_thickness, for_flash=for_flash)


class Balance(Enum):
    """What charge less sheet less flash says."""

    CLOSES = "the weighings agree"
    MISSING = (
        "material is missing: flake spilled while loading, flash not all collected, melt left on skins and"
        " lands, or water that boiled off; a correction from this sheet would add what was lost to the next"
    )
    TOO_MUCH = (
        "more came out than went in: a scale not tared, a weighing mistaken, or flash of an earlier sheet"
        " counted with this one; weigh again before correcting"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MassBalance:
    """Charge less sheet, flash and expected water."""

    missing: float  #: [kg]; negative where more came out than went in
    share: float  #: of the charge
    balance: Balance


def mass_balance(
    *, charge: float, sheet: float, flash: float, water: float = 0.0, closes_within: float = CLOSES_WITHIN
) -> MassBalance:
    """Whether charge = sheet + flash + water, all weighed [kg], within a share of the charge.

    `sheet` is weighed untrimmed; `water` is the moisture share times the charge, which leaves as
    steam. `closes_within` is assumed 1 % of the charge.

    >>> result = mass_balance(charge=11.74, sheet=11.20, flash=0.30)
    >>> round(result.missing, 2), result.balance.name
    (0.24, 'MISSING')
    """
    positive(charge=charge)
    not_negative(sheet=sheet, flash=flash, water=water, closes_within=closes_within)
    missing = charge - sheet - flash - water
    part = missing / charge
    if abs(part) <= closes_within:
        balance = Balance.CLOSES
    else:
        balance = Balance.MISSING if part > 0 else Balance.TOO_MUCH
    return MassBalance(missing=missing, share=part, balance=balance)
