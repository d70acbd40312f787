"""What water in the flake becomes in the press: steam, and how many litres of it."""

from __future__ import annotations

from flatstock.flow.ranges import not_negative, positive

__all__ = ["boiling_pressure", "steam_volume"]

GAS_CONSTANT = 8.314462618  #: [J/mol K], exact in the SI of 2019
WATER_MOLAR_MASS = 0.018015  #: [kg/mol]
ZERO_CELSIUS = 273.15  #: [K]
MMHG = 133.322  #: [Pa]


def boiling_pressure(temperature: float) -> float:
    """Pressure at which water boils at `temperature` [Pa, absolute].

    Antoine equation with the constants for 99 to 374 °C, from memory (8.14019,
    1810.94, 244.485 for mmHg and °C); within 1 % of the steam table from 100 to 250 °C. Below 99 °C
    it is used as it stands and runs up to a few per cent off, which no press answer rests on.

    >>> round(boiling_pressure(190.0) / 1e6, 2)
    1.25
    """
    positive(kelvin=temperature + ZERO_CELSIUS)
    return float(MMHG * 10 ** (8.14019 - 1810.94 / (244.485 + temperature)))


def steam_volume(*, water_mass: float, temperature: float, pressure: float) -> float:
    """Volume that water takes as steam in the melt [m3]; 0.0 where it stays liquid at that pressure.

    Parameters
    ----------
    water_mass : float
        [kg]: the moisture share times the charge as weighed.
    temperature : float
        Of the melt [°C].
    pressure : float
        Absolute, in the melt [Pa]: 101 325 Pa plus the pressure on the sheet.

    Water that stays liquid under pressure turns to steam all the same when the press opens.

    Source
    ------
    Ideal gas, pV = nRT. Real steam is up to 3 % smaller at 190 °C and 0.4 MPa (steam tables, from memory).

    >>> round(1e3 * steam_volume(water_mass=0.0351, temperature=190.0, pressure=101_325))
    74
    """
    not_negative(water_mass=water_mass)
    positive(pressure=pressure)
    if boiling_pressure(temperature) <= pressure:
        return 0.0
    moles = water_mass / WATER_MOLAR_MASS
    return moles * GAS_CONSTANT * (temperature + ZERO_CELSIUS) / pressure
