"""What one wrong link in a terminal box does to heaters: star for delta, a plate for another voltage."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from flatstock.workshop.supply import Supply

__all__ = ["Mistake", "mistakes", "power_at"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """What a three-phase heater does when it is joined up the other way."""

    load: str
    what: str
    power: float  #: [W]
    current: float  #: in each line [A]


def power_at(power: float, *, volts: float, built_for: float) -> float:
    """What elements built for one voltage give at another [W]: the square of the volts.

    >>> round(power_at(1000, volts=208 / 3**0.5, built_for=230) / 1000, 3)
    0.273
    """
    return power * (volts / built_for) ** 2


def mistakes(supply: Supply) -> list[Mistake]:
    """Star for delta gives a third; delta for star three times: the square of the volts across each element."""
    if supply.lines < 3 or supply.volts_LL is None:
        return []
    found = []
    for load in supply.loads:
        if load.heats and load.connection == "3P":
            for what, times in (
                ("elements meant for star, joined in delta", 3.0),
                ("meant for delta, joined in star", 1 / 3),
            ):
                power = load.power * times
                amps = power / (sqrt(3) * supply.volts_LL)
                found.append(Mistake(load=load.id, what=what, power=power, current=amps))
    return found
