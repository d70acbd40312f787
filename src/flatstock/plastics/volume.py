"""Specific volume and density of melt and solid, with pressure. Temperatures in °C, SI otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log
from typing import Any

from flatstock.errors import OutOfRange
from flatstock.plastics.thermal_values import Thermal

__all__ = ["AIR", "MeltLine", "Tait", "melt_volume", "solid_volume", "specific_volume"]

AIR = 1.0e5  #: [Pa], the pressure of the volume rows at "0.1 MPa"
_BELOW, _ABOVE = 30.0, 60.0  # K beyond a row's range that a melt may still be asked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Tait:
    """The Tait equation of one domain, melt or solid.

    v(t, P) = (A0 + A1 t + A2 t²) (1 - C ln(1 + P / B(t))),  B = B0 exp(-B1 t),  C = 0.0894

    t in °C, P in Pa, v in m³/kg. Source: handbook table of Tait constants, read in an open library
    (`handbook_tait` in docs/sources.md).
    """

    a0: float
    a1: float
    a2: float
    b0: float  #: [Pa]
    b1: float  #: [1/K]
    c: float
    lowest: float  #: range of temperature of the measurements behind the row [°C]
    highest: float

    @classmethod
    def of(cls, law: Mapping[str, Any]) -> Tait:
        """From a law table of a data file."""
        return cls(
            a0=law["A0_m3_kg"],
            a1=law["A1_m3_kgK"],
            a2=law["A2_m3_kgK2"],
            b0=law["B0_Pa"],
            b1=law["B1_1_K"],
            c=law["C"],
            lowest=law["T_min_C"],
            highest=law["T_max_C"],
        )

    def volume(self, temperature: float, *, pressure: float = AIR) -> float:
        """Specific volume [m3/kg] at `temperature` [°C] and `pressure` [Pa].

        High-density polyethylene at 200 °C:

        >>> row = Tait(a0=1.1567e-3, a1=6.2888e-7, a2=1.1268e-9, b0=178.67e6, b1=4.7254e-3,
        ...            c=0.0894, lowest=141.9, highest=198.9)
        >>> round(1 / row.volume(200), 1)
        753.4
        """
        stiffness = self.b0 * exp(-self.b1 * temperature)
        free = self.a0 + temperature * (self.a1 + temperature * self.a2)
        return free * (1.0 - self.c * log(1.0 + pressure / stiffness))

    def compressibility(self, temperature: float, *, pressure: float = AIR) -> float:
        """-(∂v/∂P)/v = C / (P + B) / (1 - C ln(1 + P/B)) [1/Pa]."""
        stiffness = self.b0 * exp(-self.b1 * temperature)
        return self.c / (pressure + stiffness) / (1.0 - self.c * log(1.0 + pressure / stiffness))

    def beyond(self, temperature: float) -> float:
        """How far `temperature` lies outside the row's range [K]; 0 inside.

        Raises
        ------
        OutOfRange
            More than 30 K below the range or 60 K above it.
        """
        if not self.lowest - _BELOW <= temperature <= self.highest + _ABOVE:
            raise OutOfRange(
                f"{temperature:g} °C is too far outside the volume row {self.lowest:g} … {self.highest:g} °C."
            )
        return max(self.lowest - temperature, temperature - self.highest, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltLine:
    """A melt whose volume is known as a straight line: v(t) = v180 + slope (t - 180)."""

    at_180: float  #: [m3/kg]
    slope: float  #: [m3/kgK]
    pressure_law: Tait | None = None  #: lends its compressibility; None: incompressible

    def volume(self, temperature: float, *, pressure: float = AIR) -> float:
        """Specific volume [m3/kg]."""
        line = self.at_180 + self.slope * (temperature - 180.0)
        if self.pressure_law is None:
            return line
        law = self.pressure_law
        return line * law.volume(temperature, pressure=pressure) / law.volume(temperature, pressure=AIR)


def solid_volume(thermal: Thermal, temperature: float) -> float:
    """1/ρ0 + vs1 (T - 23) [m3/kg], typical values."""
    return 1.0 / thermal.density.value + thermal.solid_volume_slope.value * (temperature - 23.0)


def melt_volume(thermal: Thermal, temperature: float) -> float:
    """vl0 + vl1 (T - 180) [m3/kg], typical values."""
    return thermal.melt_volume_180.value + thermal.melt_volume_slope.value * (temperature - 180.0)


def specific_volume(thermal: Thermal, temperature: float, *, melted: float) -> float:
    """Of dense plastic with the melted share `melted`, 0 … 1: the two lines mixed by mass [m3/kg]."""
    return (1.0 - melted) * solid_volume(thermal, temperature) + melted * melt_volume(thermal, temperature)
