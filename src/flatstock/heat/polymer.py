"""The plastic as the heat model sees it: numbers without a name, checked once.

Symbols and equations: docs/heat.md, "Plastic" and "Flake bed".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import lru_cache
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.heat.laws import TABLE_NODES

__all__ = ["Bed", "Polymer"]

_Columns = Mapping[str, NDArray[np.float64]]  # the numbers of plastics by name, each of shape (plastics,)

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
        _check(self._columns({}))

    @property
    def parts(self) -> tuple[tuple[float, Polymer], ...]:
        """Itself, the whole of it: as a blend's parts with their shares."""
        return ((1.0, self),)

    def row(self) -> NDArray[np.float64]:
        """The numbers in the order that `laws` expects, polynomials in θ = T - 23 °C."""
        return _row(self).copy()

    def rows(self, drawn: Mapping[str, NDArray[np.float64]]) -> NDArray[np.float64]:
        """The rows of as many plastics as are drawn, shape (drawn, numbers); this one with a draw's numbers in place.

        `drawn`: by the field's name, those of the bed as "bed_void", all of one length. Raises `OutOfRange` where
        the numbers of any draw cannot belong to a material, as a `Polymer` of them would.
        """
        columns = self._columns(drawn)
        _check(columns)
        return _rows(columns)

    def _columns(self, drawn: Mapping[str, NDArray[np.float64]]) -> _Columns:
        count = len(next(iter(drawn.values()))) if drawn else 1
        numbers = np.empty((len(_PLAIN) + len(_OF_BED), count))
        numbers.T[:] = [*_PLAIN_OF(self), *_BED_OF(self.bed)[:-1], self.bed.conductivity or 0.0]
        of = dict(zip((*_PLAIN, *_OF_BED), numbers, strict=True))
        for name, values in drawn.items():
            of[name][:] = values
        return of


_PLAIN = tuple(f.name for f in fields(Polymer) if f.name != "bed")
_OF_BED = tuple(f"bed_{f.name}" for f in fields(Bed))
_PLAIN_OF, _BED_OF = attrgetter(*_PLAIN), attrgetter(*(f.name for f in fields(Bed)))


@lru_cache(
    maxsize=64
)  # a press is asked many times for one plastic, and its row is a sixth of a cycle's time
def _row(polymer: Polymer) -> NDArray[np.float64]:
    return _rows(polymer._columns({}))[0]


def _check(of: _Columns) -> None:
    """Refuse what cannot belong to a material."""
    for name, numbers in of.items():
        if not name.startswith("bed_") and not np.isfinite(numbers).all():
            bad = numbers[~np.isfinite(numbers)][0]
            raise OutOfRange(f"{name} is {bad}; it must be a finite number.")
    for name in ("density", "melt_volume_180", "solid_cp_23", "melt_cp_180", "solid_k_23", "melt_k_180"):
        if (least := of[name].min()) <= 0:
            raise OutOfRange(f"{name} is {least}; it must be above 0.")
    if (least := of["latent"].min()) < 0:
        raise OutOfRange(f"latent heat is {least} J/kg; it must not be negative.")
    wide = (of["melting_onset"] < of["melting_end"]) & (of["freezing_end"] < of["freezing_onset"])
    if not wide.all():
        raise OutOfRange("A melting or freezing range has no width or is upside down.")
    above = (of["freezing_end"] > of["melting_onset"]) | (of["freezing_onset"] > of["melting_end"])
    if above.any():
        raise OutOfRange(
            "The freezing curve lies above the melting curve; freezing comes at or below melting."
        )
    void = of["bed_void"]
    if not ((void >= 0) & (void <= 0.95)).all():
        raise OutOfRange(f"void fraction {void[~((void >= 0) & (void <= 0.95))][0]} is outside 0 … 0.95.")
    _refuse_falling_enthalpy(of)


_U = np.linspace(0.0, 1.0, 17)[:, None]  # of the way through a range at which its enthalpy is looked at
_MELTED = _U**3 * (10 - 15 * _U + 6 * _U * _U)
_MELTING = 30 * _U * _U * (1 - _U) ** 2  # slope of `_MELTED`


def _refuse_falling_enthalpy(of: _Columns) -> None:
    """Where melt holds less heat than solid, a narrow range would cool the plastic by heating it."""
    for low, high in (("melting_onset", "melting_end"), ("freezing_end", "freezing_onset")):
        width = of[high] - of[low]
        t = of[low] + _U * width
        rise = (1 - _MELTED) * _solid_cp(of, t) + _MELTED * _melt_cp(of, t)
        rise = rise + _latent_at(of, t) * _MELTING / width
        if (rise <= 0).any():
            raise OutOfRange(
                f"At {t[rise <= 0][0]:.0f} °C the plastic would cool by taking up heat: latent heat or heat "
                "capacities do not fit its melting and freezing ranges."
            )


def _solid_cp(of: _Columns, t: NDArray[np.float64]) -> NDArray[np.float64]:
    return of["solid_cp_23"] + of["solid_cp_slope"] * (t - 23.0)


def _melt_cp(of: _Columns, t: NDArray[np.float64]) -> NDArray[np.float64]:
    return of["melt_cp_180"] + of["melt_cp_slope"] * (t - 180.0)


def _latent_at(of: _Columns, t: NDArray[np.float64]) -> NDArray[np.float64]:
    """h_l - h_s [J/kg]."""
    middle = 0.5 * (t + of["latent_at"])
    return of["latent"] + (_melt_cp(of, middle) - _solid_cp(of, middle)) * (t - of["latent_at"])


def _solid_enthalpy(of: _Columns, t: float) -> NDArray[np.float64]:
    return (t - 23.0) * (of["solid_cp_23"] + 0.5 * of["solid_cp_slope"] * (t - 23.0))


def _rows(of: _Columns) -> NDArray[np.float64]:
    k = of["melt_cp_180"] - of["melt_cp_slope"] * (180.0 - 23.0)  # melt cp at 23 °C
    rise = of["latent_at"] - 23.0
    # h_l - h_s = L + ∫ (c_l - c_s) from latent_at
    d1 = k - of["solid_cp_23"]
    d2 = 0.5 * (of["melt_cp_slope"] - of["solid_cp_slope"])
    d0 = of["latent"] - rise * (d1 + d2 * rise)
    lowest = _solid_enthalpy(of, TABLE_FROM)
    above = TABLE_TO - 23.0
    highest = _solid_enthalpy(of, TABLE_TO) + d0 + above * (d1 + d2 * above)
    return np.column_stack(
        [
            of["solid_cp_23"],
            0.5 * of["solid_cp_slope"],
            d0,
            d1,
            d2,
            of["melting_onset"],
            1.0 / (of["melting_end"] - of["melting_onset"]),
            of["freezing_end"],
            1.0 / (of["freezing_onset"] - of["freezing_end"]),
            of["solid_k_23"],
            of["solid_k_slope"],
            of["melt_k_180"],
            1.0 / of["density"],
            of["solid_volume_slope"],
            of["melt_volume_180"] - of["melt_volume_slope"] * (180.0 - 23.0),
            of["melt_volume_slope"],
            of["bed_void"],
            of["bed_factor"],
            of["bed_form"],
            of["bed_flattening"],
            of["bed_grain"],
            of["bed_emissivity"],
            of["bed_conductivity"],
            lowest,
            (TABLE_NODES - 1) / (highest - lowest),
            np.zeros_like(lowest),  # of how many parts: this is one plastic
        ]
    )
