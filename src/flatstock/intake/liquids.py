"""Liquids that flakes float or sink in: what to mix for a density, and what a mixture weighs."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from flatstock.errors import OutOfRange

__all__ = ["WATER", "Liquid", "Mixture", "density_at", "mixture_for", "mixtures"]

WATER = 998.2  #: at 20 °C, the tables' first line [kg/m3]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """A solute in water, from its table; `data/liquids.toml`."""

    id: str
    solute: str
    percent: tuple[float, ...]  #: mass percent of the solute
    density: tuple[float, ...]  #: at 20 °C [kg/m3]
    slope: float  #: [kg/m3 K]
    source: str
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquid:
    """A liquid ready for a test."""

    name: str
    density: float  #: [kg/m3]
    percent: float = 0.0  #: mass percent of the solute
    per_kg_water: float = 0.0  #: solute for 1 kg of water [kg]
    caution: str = ""


@cache
def mixtures() -> dict[str, Mixture]:
    """Salt and ethanol in water."""
    data = tomllib.loads((Path(__file__).parent / "data" / "liquids.toml").read_text("utf-8"))
    return {
        name: Mixture(
            id=name,
            solute=table["solute"],
            percent=tuple(map(float, table["percent"])),
            density=tuple(map(float, table["density"])),
            slope=float(table.get("slope", 0.0)),
            source=table["source"],
            caution=table["caution"],
        )
        for name, table in data.items()
        if "percent" in table
    }


def density_at(mixture: Mixture, percent: float, *, temperature: float = 20.0) -> float:
    """Density of a mixture [kg/m3] at a mass percent and a temperature [°C]; linear between the table's lines.

    The slope with temperature was read at one strength (10 % salt) and is used for all; none is on file for
    ethanol, which is refused away from 20 °C.

    >>> density_at(mixtures()["brine"], 10.0)
    1070.7
    """
    if not mixture.percent[0] <= percent <= mixture.percent[-1]:
        raise OutOfRange(f"{percent:g} % of {mixture.solute}: the table ends at {mixture.percent[-1]:g} %.")
    if not 5 <= temperature <= 35 or (mixture.slope == 0 and abs(temperature - 20) > 2):
        raise OutOfRange(f"{temperature:g} °C: the table of {mixture.solute} holds for 20 °C.")
    points = zip(mixture.percent, mixture.density, strict=True)
    at_20 = next(
        d + (e - d) * (percent - p) / (q - p) for (p, d), (q, e) in pairwise(points) if p <= percent <= q
    )
    return at_20 + mixture.slope * (temperature - 20.0)


def mixture_for(density: float) -> Liquid:
    """What to mix for a density [kg/m3] at 20 °C: ethanol below water, salt above it.

    Raises
    ------
    OutOfRange
        Lighter than 70 % ethanol or heavier than brine near saturation.

    >>> round(mixture_for(1050.0).per_kg_water, 4)
    0.0775
    """
    mixture = mixtures()["ethanol" if density < WATER else "brine"]
    points = zip(mixture.percent, mixture.density, strict=True)
    for (p, d), (q, e) in pairwise(points):
        if min(d, e) <= density <= max(d, e):
            percent = p + (q - p) * (density - d) / (e - d)
            return Liquid(
                name=f"{percent:.1f} % {mixture.solute}",
                density=density,
                percent=percent,
                per_kg_water=percent / (100.0 - percent),
                caution=mixture.caution,
            )
    raise OutOfRange(
        f"{density:g} kg/m3 can't be mixed from salt or ethanol and water: 867 to 1197 kg/m3 can."
    )
