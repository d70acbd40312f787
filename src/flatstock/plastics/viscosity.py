"""Melt viscosity: Carreau curves scaled to a lot's melt-flow rate. Temperatures in °C, SI otherwise.

Press flow runs at 0.001 … 1 1/s, so the zero-shear end of a curve counts. Even a curve of the right
grade is good to a factor of 2 only; every answer carries that band.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, isfinite, log
from typing import Any

from flatstock.errors import OutOfRange
from flatstock.evidence import Value, weakest

__all__ = ["Carreau", "MeltFlowTest", "ViscosityModel"]

GAS = 8.314  # J/(mol K), the value the parameters were fitted with
KELVIN = 273.15
_BAND, _BAND_UNKNOWN_GRADE = 2.0, 10.0


def arrhenius(activation: float, temperature: float, reference: float) -> float:
    """exp(E/R (1/T - 1/T0)); `activation` [J/mol], temperatures [°C]."""
    return exp(activation / GAS * (1.0 / (temperature + KELVIN) - 1.0 / (reference + KELVIN)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Carreau:
    """η = K1 a / (1 + K2 γ̇ a)^K3 with a temperature factor a(T).

    Semi-crystalline plastics: a = exp(E/R (1/T - 1/T0)). Amorphous plastics and the read LDPE set:
    log10 a = 8.86 (K4 - K5)/(101.6 + K4 - K5) - 8.86 (T - K5)/(101.6 + T - K5), T in °C.
    Source: textbook and handbook of polymer processing (`memory_viscosity`, `handbook_design_formulas`
    in docs/sources.md).
    """

    k1: float  #: [Pa s]
    k2: float  #: [s]
    k3: float
    activation: float | None  #: E [J/mol]; None: the second temperature factor
    reference: float  #: T0 or K4 [°C]
    standard: float  #: K5 [°C]; without meaning where `activation` is given

    @classmethod
    def of(cls, law: Mapping[str, Any]) -> Carreau:
        """From a law table of a data file."""
        return cls(
            k1=law["K1_Pa_s"],
            k2=law["K2_s"],
            k3=law["K3"],
            activation=law.get("E_J_mol"),
            reference=law["T0_C"] if "T0_C" in law else law["K4_C"],
            standard=law.get("K5_C", 0.0),
        )

    def shift(self, temperature: float) -> float:
        """The factor a(T).

        Raises
        ------
        OutOfRange
            The temperature is not safely above the pole of the second factor.
        """
        if self.activation is not None:
            return arrhenius(self.activation, temperature, self.reference)
        above = temperature - self.standard
        if above <= 0.0:
            raise OutOfRange(f"{temperature:g} °C is below the viscosity curve's own {self.standard:g} °C.")
        origin = self.reference - self.standard
        return float(10.0 ** (8.86 * origin / (101.6 + origin) - 8.86 * above / (101.6 + above)))

    def viscosity(self, temperature: float, *, rate: float, scale: float = 1.0) -> float:
        """[Pa s] at shear rate `rate` [1/s]; K1 and K2 multiplied by `scale`."""
        shift = self.shift(temperature) * scale
        return self.k1 * shift / float((1.0 + self.k2 * rate * shift) ** self.k3)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltFlowTest:
    """The standard melt-flow test: die 2.095 x 8 mm, piston 9.474 mm.

    η = 10655 (m/2.16) ρ/MFR [Pa s] at γ̇ = 1.846 MFR/ρ [1/s], m in kg, ρ of the melt in g/cm³,
    MFR in g/10 min; apparent values without the corrections for the die's entry and the flow profile.
    Source: derived from the test's dimensions, which are from memory (`memory_melt_flow`).
    """

    temperature: float  #: [°C]
    load: float  #: [kg]
    melt_density: float  #: at the test temperature [kg/m3]

    def viscosity(self, mfr: float) -> float:
        """Apparent viscosity [Pa s] at melt-flow rate `mfr` [g/10 min].

        >>> round(MeltFlowTest(temperature=190, load=2.16, melt_density=763.6).viscosity(8))
        1017
        """
        return 10655.0 * (self.load / 2.16) * (self.melt_density / 1000.0) / mfr

    def rate(self, mfr: float) -> float:
        """Apparent shear rate at the die's wall [1/s]."""
        return 1.846 * mfr / (self.melt_density / 1000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ViscosityModel:
    """The viscosity of one plastic's melt, from the best that is on file."""

    evidence: Value  #: kind and source are taken from it
    curve: Carreau | None = None
    test: MeltFlowTest | None = None
    activation: float | None = None  #: for plastics without a curve [J/mol]
    zero_shear: Value | None = None  #: a typical grade without a curve [Pa s] …
    zero_shear_at: float = 0.0  #: … at this temperature [°C]
    own: Value | None = None  #: a workshop's own viscosity at its set-point [Pa s]; replaces all else

    def at(self, temperature: float, *, rate: float = 0.0, mfr: float | None = None) -> Value:
        """Viscosity [Pa s] at `temperature` [°C] and shear rate `rate` [1/s], with its band.

        `mfr` is the lot's melt-flow rate [g/10 min] at the plastic's usual test. With it the band is a
        factor of 2 either way; without it the grade behind the data is taken and the band is a factor
        of 10. Where there is no curve the apparent viscosity of the melt-flow test is given: a stiff
        lot is up to a few times stiffer than that at the press's low rates.

        Raises
        ------
        OutOfRange
            `mfr` is not above 0, `rate` is negative, or nothing on file gives a viscosity without `mfr`.
        """
        if not (isfinite(rate) and rate >= 0.0):
            raise OutOfRange(f"Shear rate {rate} 1/s must be 0 or more.")
        if mfr is not None and not (isfinite(mfr) and mfr > 0.0):
            raise OutOfRange(f"Melt-flow rate {mfr} g/10 min must be above 0.")
        if self.own is not None:
            return self.own
        if mfr is not None and self.test is not None:
            return self._scaled(self.test, temperature, rate, mfr)
        if self.curve is not None:
            found = self.curve.viscosity(temperature, rate=rate)
            return self._value(found, _BAND_UNKNOWN_GRADE, "the grade behind the data, not this lot's")
        if self.zero_shear is not None:
            factor = arrhenius(self.activation or 0.0, temperature, self.zero_shear_at)
            return self.zero_shear.mapped(lambda eta: eta * factor, unit="Pa s")
        raise OutOfRange("No viscosity is on file without the lot's melt-flow rate.")

    def ratio(self, temperature: float, *, reference: float) -> float:
        """How many times as stiff the melt is at `temperature` as at `reference` [°C], where it is hardly sheared.

        1.0 where nothing is on file about that. Raises `OutOfRange` below what its curve holds for.
        """
        if self.curve is not None:
            return self.curve.shift(temperature) / self.curve.shift(reference)
        return arrhenius(self.activation or 0.0, temperature, reference)

    def _scaled(self, test: MeltFlowTest, temperature: float, rate: float, mfr: float) -> Value:
        target = test.viscosity(mfr)
        if self.curve is None:
            found = target * arrhenius(self.activation or 0.0, temperature, test.temperature)
            return self._value(found, _BAND, f"apparent viscosity at melt-flow rate {mfr:g}")
        scale = self._scale(self.curve, test, target, test.rate(mfr))
        found = self.curve.viscosity(temperature, rate=rate, scale=scale)
        return self._value(found, _BAND, f"curve scaled to melt-flow rate {mfr:g}")

    def _scale(self, curve: Carreau, test: MeltFlowTest, target: float, rate: float) -> float:
        # the curve rises with the scale for K3 < 1, so bisection on its logarithm cannot miss
        low, high = log(1e-6), log(1e6)
        for _ in range(80):
            middle = 0.5 * (low + high)
            if curve.viscosity(test.temperature, rate=rate, scale=exp(middle)) < target:
                low = middle
            else:
                high = middle
        return exp(0.5 * (low + high))

    def _value(self, found: float, factor: float, note: str) -> Value:
        kind = weakest(self.evidence.kind, "computed")
        return Value(found, found / factor, found * factor, kind, self.evidence.source, "Pa s", note)
