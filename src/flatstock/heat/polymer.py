"""The plastic as the heat model sees it: numbers without a name, checked once.

Symbols and equations: docs/heat.md, "Plastic" and "Flake bed".
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.heat.laws import TABLE_NODES

__all__ = ["Bed", "Polymer"]

TABLE_FROM, TABLE_TO = -60.0, 400.0  # °C between which the heating branch is tabulated


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """Loose flake under the closing pressure; defaults are those of docs/heat.md, "Flake bed"."""

    void: float = 0.50  #: void fraction, 0 … 0.95
    form: float = 1.40  #: Zehner-Bauer-Schlünder form factor of broken grains
    flattening: float = 0.001  #: share of the heat that crosses the grains' contact spots
    grain: float = 0.0025  #: Sauter diameter [m]
    emissivity: float = 0.90
    factor: float = 1.0  #: the shop's own fitted factor on the conductivity
    conductivity: float | None = None  #: a measured constant instead of the model [W/mK]


@dataclass(frozen=True, slots=True, kw_only=True)
class Polymer:
    """Thermal laws of one plastic; temperatures in °C, SI otherwise.

    Raises `OutOfRange` where the numbers cannot belong to a material: curves in the wrong order, a
    non-finite or non-positive property, a void fraction outside 0 … 0.95, enthalpy that falls with
    temperature.
    """

    density: float  #: of the cold solid, ρ0
    solid_volume_slope: float  #: dv/dT of the solid [m3/kgK]
    melt_volume_180: float  #: specific volume of the melt at 180 °C [m3/kg]
    melt_volume_slope: float
    solid_cp_23: float
    solid_cp_slope: float
    melt_cp_180: float
    melt_cp_slope: float
    latent: float  #: heat of fusion of this material at `latent_at` [J/kg]
    latent_at: float
    melting_onset: float
    melting_end: float
    freezing_end: float
    freezing_onset: float
    solid_k_23: float
    solid_k_slope: float
    melt_k_180: float
    bed: Bed = Bed()

    def __post_init__(self) -> None:
        for f in fields(self):
            number = getattr(self, f.name)
            if f.name != "bed" and not isfinite(number):
                raise OutOfRange(f"{f.name} is {number}; it must be a finite number.")
        for name in ("density", "melt_volume_180", "solid_cp_23", "melt_cp_180", "solid_k_23", "melt_k_180"):
            if getattr(self, name) <= 0:
                raise OutOfRange(f"{name} is {getattr(self, name)}; it must be above 0.")
        if self.latent < 0:
            raise OutOfRange(f"latent heat is {self.latent} J/kg; it must not be negative.")
        if not (self.melting_onset < self.melting_end and self.freezing_end < self.freezing_onset):
            raise OutOfRange("A melting or freezing range has no width or is upside down.")
        if self.freezing_end > self.melting_onset or self.freezing_onset > self.melting_end:
            raise OutOfRange(
                "The freezing curve lies above the melting curve; freezing comes at or below melting."
            )
        if not 0 <= self.bed.void <= 0.95:
            raise OutOfRange(f"void fraction {self.bed.void} is outside 0 … 0.95.")
        self._refuse_falling_enthalpy()

    def _refuse_falling_enthalpy(self) -> None:
        """Where melt holds less heat than solid, a narrow range would cool the plastic by heating it."""
        ranges = ((self.melting_onset, self.melting_end), (self.freezing_end, self.freezing_onset))
        for low, high in ranges:
            for i in range(17):
                u = i / 16
                t = low + u * (high - low)
                x, slope = u**3 * (10 - 15 * u + 6 * u * u), 30 * u * u * (1 - u) ** 2 / (high - low)
                solid = self.solid_cp_23 + self.solid_cp_slope * (t - 23.0)
                melt = self.melt_cp_180 + self.melt_cp_slope * (t - 180.0)
                if (1 - x) * solid + x * melt + self._latent_at(t) * slope <= 0:
                    raise OutOfRange(
                        f"At {t:.0f} °C the plastic would cool by taking up heat: latent heat or heat "
                        "capacities do not fit its melting and freezing ranges."
                    )

    def _latent_at(self, t: float) -> float:
        """h_l - h_s [J/kg]."""
        middle = 0.5 * (t + self.latent_at)
        solid = self.solid_cp_23 + self.solid_cp_slope * (middle - 23.0)
        melt = self.melt_cp_180 + self.melt_cp_slope * (middle - 180.0)
        return self.latent + (melt - solid) * (t - self.latent_at)

    def _solid_enthalpy(self, t: float) -> float:
        return (t - 23.0) * (self.solid_cp_23 + 0.5 * self.solid_cp_slope * (t - 23.0))

    def row(self) -> NDArray[np.float64]:
        """The numbers in the order that `laws` expects, polynomials in θ = T - 23 °C."""
        k = self.melt_cp_180 - self.melt_cp_slope * (180.0 - 23.0)  # melt cp at 23 °C
        rise = self.latent_at - 23.0
        # h_l - h_s = L + ∫ (c_l - c_s) from latent_at
        d1 = k - self.solid_cp_23
        d2 = 0.5 * (self.melt_cp_slope - self.solid_cp_slope)
        d0 = self.latent - rise * (d1 + d2 * rise)
        bed = self.bed
        lowest = self._solid_enthalpy(TABLE_FROM)
        above = TABLE_TO - 23.0
        highest = self._solid_enthalpy(TABLE_TO) + d0 + above * (d1 + d2 * above)
        return np.array(
            [
                self.solid_cp_23,
                0.5 * self.solid_cp_slope,
                d0,
                d1,
                d2,
                self.melting_onset,
                1.0 / (self.melting_end - self.melting_onset),
                self.freezing_end,
                1.0 / (self.freezing_onset - self.freezing_end),
                self.solid_k_23,
                self.solid_k_slope,
                self.melt_k_180,
                1.0 / self.density,
                self.solid_volume_slope,
                self.melt_volume_180 - self.melt_volume_slope * (180.0 - 23.0),
                self.melt_volume_slope,
                bed.void,
                bed.factor,
                bed.form,
                bed.flattening,
                bed.grain,
                bed.emissivity,
                bed.conductivity or 0.0,
                lowest,
                (TABLE_NODES - 1) / (highest - lowest),
            ]
        )
