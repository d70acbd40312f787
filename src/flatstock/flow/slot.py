"""Flash against time: melt that stands proud of the frame leaves through the slot over its land.

While the skins stand off the frame by a gap g, the pressure on the sheet drives melt outward over the
land, all round. Plane flow between parallel faces gives dV/dt = Δp·g³·P / (12·η·L); what leaves lowers
the skins, dV = −A·dg, so for a constant pressure

    g(t) = g₀ / √(1 + 2·Δp·P·g₀²·t / (12·η·L·A))

and flash = ρ_melt · A · (g₀ − g). A power law (stress K·rateⁿ) changes the exponent only; `index` 1 is
the Newtonian case above. Derived in docs/flow.md, where the limits stand too: parallel faces, even
pressure in the cavity, no cooling of the thin film, no lump in the slot. The viscosity of a post-consumer
charge is an estimate at best, so weigh the flash and correct it.

Which numbers reproduce the workshop's own case (HDPE 12 mm, cavity 1250 x 840 mm, 40 mm land, 0.25 MPa):
the first gap is the level of the *charge with its allowance*, not rounded to the scale (11.737 kg at
760 kg/m3: 14.706 mm), less the frame (12 mm); P is the perimeter of the cavity (4.18 m), A its area,
the flash is weighed at melt density 760 kg/m3 times the volume that left, and the sheet is what remains
of the charge over 950 kg/m3 times the cold area. That gives 0.31 kg in 2 min and 0.87 kg in 10 min at
10 kPa s (sheet 11.97 and 11.38 mm), 1.35 kg in 10 min at 3 kPa s, and the allowance of 2.5 % after
1.8 min (10 kPa s) and 0.4 min (2.1 kPa s). The net charge as first gap gives 0.21 kg, the perimeter
at the middle of the land 0.32 kg: neither is meant.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, expm1, inf, log1p

from flatstock.flow.charge import charge_with_allowance
from flatstock.flow.level import hot_level, proud_height
from flatstock.flow.ranges import not_negative, positive

__all__ = ["Land", "flash_mass", "full_pressure_time", "gap_after", "time_for_flash", "wall_shear_rate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Land:
    """The rim that flash has to cross, and the cavity it empties."""

    width: float  #: least width of the frame all round [m]
    perimeter: float  #: of the cavity [m]
    cavity_area: float  #: plan area of the cavity [m2]

    def __post_init__(self) -> None:
        positive(width=self.width, perimeter=self.perimeter, cavity_area=self.cavity_area)


def gap_after(
    time: float, *, first_gap: float, pressure: float, viscosity: float, land: Land, index: float = 1.0
) -> float:
    """Gap between skin and frame [m] after `time` [s] at constant pressure.

    Parameters
    ----------
    first_gap : float
        Charge level less frame [m]; 0 or less: the melt does not stand proud, nothing flows and the
        gap is 0.0.
    pressure : float
        On the sheet, above ambient [Pa].
    viscosity : float
        [Pa s], at melt temperature and a rate near `wall_shear_rate`; with an `index` n below 1 it is
        the power law's consistency [Pa sⁿ].

    >>> rim = Land(width=0.040, perimeter=4.18, cavity_area=1.05)
    >>> round(1e3 * gap_after(120, first_gap=2.706e-3, pressure=0.25e6, viscosity=1e4, land=rim), 3)
    2.317
    """
    not_negative(time=time)
    if first_gap <= 0:
        return 0.0
    return first_gap * exp(_log_fall(time, first_gap, pressure, viscosity, land, index))


def flash_mass(
    time: float,
    *,
    first_gap: float,
    pressure: float,
    viscosity: float,
    land: Land,
    melt_density: float,
    index: float = 1.0,
) -> float:
    """Mass that has left as flash [kg] after `time` [s]; never more than what stands proud.

    Arguments as in `gap_after`; `melt_density` at melt temperature [kg/m3].

    >>> rim = Land(width=0.040, perimeter=4.18, cavity_area=1.05)
    >>> round(flash_mass(600, first_gap=2.706e-3, pressure=0.25e6, viscosity=1e4, land=rim,
    ...                  melt_density=760.0), 2)
    0.87
    """
    not_negative(time=time)
    positive(melt_density=melt_density)
    if first_gap <= 0:
        return 0.0
    fallen = -expm1(_log_fall(time, first_gap, pressure, viscosity, land, index))
    return melt_density * land.cavity_area * first_gap * fallen


def time_for_flash(
    flash: float,
    *,
    first_gap: float,
    pressure: float,
    viscosity: float,
    land: Land,
    melt_density: float,
    index: float = 1.0,
) -> float:
    """Time [s] after which `flash` [kg] has left; undoes `flash_mass`.

    Returns `inf` where so much never leaves: it does not stand proud of the frame, or no pressure drives it.

    >>> rim = Land(width=0.040, perimeter=4.18, cavity_area=1.05)
    >>> round(time_for_flash(0.31, first_gap=2.706e-3, pressure=0.25e6, viscosity=1e4, land=rim,
    ...                      melt_density=760.0))
    120
    """
    not_negative(flash=flash)
    positive(melt_density=melt_density)
    speed = _closing(pressure, viscosity, land, index)
    if flash == 0:
        return 0.0
    proud = melt_density * land.cavity_area * first_gap
    if flash >= proud or speed == 0:
        return inf
    steep = 1 + 1 / index
    return float(expm1(-steep * log1p(-flash / proud)) / (steep * speed * first_gap**steep))


def full_pressure_time(
    *,
    net_charge: float,
    allowance: float,
    frame: float,
    melt_density: float,
    pressure: float,
    viscosity: float,
    land: Land,
    index: float = 1.0,
) -> float:
    """How long full pressure may last [s]: until the flash equals the allowance in the charge.

    A sheet transferred then weighs its net charge, and so comes out at the wanted thickness.

    Parameters
    ----------
    net_charge, allowance : float
        Mass of the wanted sheet [kg] and the fraction of it added for flash.
    frame : float
        Thickness of the frame [m].
    melt_density, pressure, viscosity, land, index
        As in `time_for_flash`.

    Returns `inf` where the charge never loses that much: no more than the allowance stands proud.

    >>> rim = Land(width=0.040, perimeter=4.18, cavity_area=1.05)
    >>> seconds = full_pressure_time(net_charge=11.45, allowance=0.025, frame=0.012, melt_density=760.0,
    ...                              pressure=0.25e6, viscosity=1e4, land=rim)
    >>> round(seconds / 60, 1)
    1.8
    """
    positive(net_charge=net_charge)
    charge = charge_with_allowance(net_charge=net_charge, allowance=allowance)
    level = hot_level(mass=charge, melt_density=melt_density, cavity_area=land.cavity_area)
    return time_for_flash(
        charge - net_charge,
        first_gap=proud_height(level=level, frame=frame),
        pressure=pressure,
        viscosity=viscosity,
        land=land,
        melt_density=melt_density,
        index=index,
    )


def wall_shear_rate(*, gap: float, pressure: float, viscosity: float, land: Land) -> float:
    """Shear rate at the wall of the slot [1/s]: where on its flow curve the melt is. Δp·g / (2·η·L).

    With a viscosity that depends on the rate, put the answer in again until the two agree.

    >>> rim = Land(width=0.040, perimeter=4.18, cavity_area=1.05)
    >>> round(wall_shear_rate(gap=2.706e-3, pressure=0.25e6, viscosity=1e4, land=rim), 2)
    0.85
    """
    not_negative(gap=gap, pressure=pressure)
    positive(viscosity=viscosity)
    return pressure * gap / (2 * viscosity * land.width)


def _closing(pressure: float, consistency: float, land: Land, index: float) -> float:
    """c in dg/dt = −c·g^(2 + 1/n): (P/A)·n/(2(2n+1))·(Δp/2KL)^(1/n)."""
    not_negative(pressure=pressure)
    positive(viscosity=consistency, index=index)
    drive = (pressure / (2 * consistency * land.width)) ** (1 / index)
    return float(land.perimeter / land.cavity_area * index / (2 * (2 * index + 1)) * drive)


def _log_fall(
    time: float, first_gap: float, pressure: float, viscosity: float, land: Land, index: float
) -> float:
    """ln(g/g₀) after `time`: kept as a logarithm so that a little flash keeps its digits."""
    steep = 1 + 1 / index
    speed = _closing(pressure, viscosity, land, index)
    return -log1p(steep * speed * first_gap**steep * time) / steep
