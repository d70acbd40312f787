"""What heaters leak to earth against what a residual current device lets stand."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.starting.supply.oven import heaters_power
from flatstock.workshop.supply import Supply

__all__ = ["PER_POWER", "STANDING_SHARE", "Leakage", "leakage"]

#: sheathed heaters, works test limit: 1 mA/kW [A/W], read (`heater_leakage` in docs/sources.md); dry ones leak
#: less, damp ones far more
PER_POWER = 1e-6
STANDING_SHARE = 0.30  #: of the device's rating: BS 7671:2018 regulation 531.3.2, read (`standing_leakage`)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leakage:
    """Standing leakage of everything that heats [A]."""

    expected: float
    may_stand: float | None  #: None: no residual current device on file
    largest_heaters: float | None  #: what such a device carries [W]

    @property
    def verdict(self) -> str:
        """`fits`, `may_trip`, or `unknown`."""
        if self.may_stand is None:
            return "unknown"
        return "may_trip" if self.expected > self.may_stand + 1e-12 else "fits"


def leakage(supply: Supply) -> Leakage:
    """Heaters at the works test limit; motors and electronics leak too, and are the electrician's to measure."""
    stands = None if supply.residual is None else STANDING_SHARE * supply.residual
    return Leakage(
        expected=heaters_power(supply) * PER_POWER,
        may_stand=stands,
        largest_heaters=None if stands is None else stands / PER_POWER,
    )
