"""Layers of a column with the state they are in, and what surrounds the column.

A layer is never changed: a run returns new layers, so a mould can be carried from press to stack with
every cell as it was. Numbers are per m2 of mould (cavity) area.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.heat.blend import Blend
from flatstock.heat.laws import frozen, specific_enthalpies
from flatstock.heat.polymer import Polymer

__all__ = ["Controller", "Joint", "Layer", "Metal", "Outside", "charge", "metal", "sheet"]

Array = NDArray[np.float64]
REFERENCE = 23.0  #: °C at which stored heat counts as 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """Constant properties of a metal."""

    density: float  #: [kg/m3]
    specific_heat: float  #: [J/kgK]
    conductivity: float  #: [W/mK]


ALUMINIUM = Metal(density=2700.0, specific_heat=900.0, conductivity=165.0)  #: handbook values from memory
MILD_STEEL = Metal(density=7850.0, specific_heat=480.0, conductivity=50.0)  #: handbook values from memory


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """Cells from bottom to top and the state they are in.

    capacity (n,): J/m2K of a metal cell, kg/m2 of a plastic cell. half (n,): half a metal cell's resistance
    [m2K/W]. height (n,): of a metal cell [m]. memory (n, 3): melted fraction, consolidated fraction, heat
    that the cell's water still needs to boil off [J/kg]; in a blend then the melted fraction of each part.
    """

    capacity: Array
    half: Array
    height: Array
    temperature: Array
    enthalpy: Array
    memory: Array
    polymer: Polymer | Blend | None
    area_ratio: float = 1.0  #: of a platen to the mould

    @property
    def cells(self) -> int:
        """Number of cells."""
        return len(self.capacity)

    @property
    def stored(self) -> float:
        """Heat above 23 °C, plastic as a solid [J/m2]."""
        if self.polymer is None:
            return float(self.capacity @ (self.temperature - REFERENCE))
        return float(self.capacity @ self.enthalpy)


def _positive(**numbers: float) -> None:
    for name, number in numbers.items():
        if not 0 < number < inf:
            raise OutOfRange(f"{name} is {number}; it must be a positive, finite number.")


def _not_negative(**numbers: float) -> None:
    for name, number in numbers.items():
        if not 0 <= number < inf:
            raise OutOfRange(f"{name} is {number}; it must be finite and not negative.")


def metal(
    material: Metal,
    *,
    thickness: float,
    temperature: float,
    cells: int = 1,
    area_ratio: float = 1.0,
    extra_capacity: float = 0.0,
) -> Layer:
    """A metal layer at one temperature [°C].

    A platen larger than the mould has `area_ratio` above 1: capacity and conduction grow with it.
    `extra_capacity` [J/m2K] is spread over the cells: a frame on its skins, hangers on a platen.
    """
    _positive(thickness=thickness, area_ratio=area_ratio)
    if not -60 < temperature < 400:
        raise OutOfRange(f"temperature {temperature} °C is outside -60 … 400 °C.")
    d = thickness / cells
    full = area_ratio * material.density * material.specific_heat * d + extra_capacity / cells
    return Layer(
        capacity=np.full(cells, full),
        half=np.full(cells, 0.5 * d / material.conductivity / area_ratio),
        height=np.full(cells, d),
        temperature=np.full(cells, float(temperature)),
        enthalpy=np.zeros(cells),
        memory=np.zeros((cells, 3)),
        polymer=None,
        area_ratio=area_ratio,
    )


def _plastic(
    polymer: Polymer | Blend,
    mass: float,
    cells: int,
    temperature: Array,
    melted: Array,
    consolidated: Array,
    water: float,
) -> Layer:
    """`melted` (n, parts): of each part."""
    _positive(mass=mass)
    if cells < 3:
        raise OutOfRange(f"{cells} cells are too few for a plastic layer; take 3 or more.")
    if not np.all((temperature > -60) & (temperature < 400)):
        raise OutOfRange("temperature of a plastic layer is outside -60 … 400 °C.")
    h, mean = np.zeros(cells), np.zeros(cells)
    for (share, part), fraction in zip(polymer.parts, melted.T, strict=True):
        h += share * specific_enthalpies(temperature, np.ascontiguousarray(fraction), part.row())
        mean += share * fraction
    of_parts = melted if melted.shape[1] > 1 else np.empty((cells, 0))
    return Layer(
        capacity=np.full(cells, mass / cells),
        half=np.zeros(cells),
        height=np.zeros(cells),
        temperature=temperature,
        enthalpy=h,
        memory=np.column_stack([mean, consolidated, np.full(cells, water), of_parts]),
        polymer=polymer,
    )


def charge(
    polymer: Polymer | Blend, *, mass: float, temperature: float, cells: int = 48, moisture: float = 0.0
) -> Layer:
    """Loose flake, cold: `mass` [kg/m2], `moisture` as a mass fraction of water."""
    if not 0 <= moisture < 0.2:
        raise OutOfRange(f"moisture {moisture} is outside 0 … 0.2.")
    flat = np.full(cells, float(temperature))
    if temperature > polymer.melting_onset:
        raise OutOfRange(
            f"A charge at {temperature} °C is not loose flake: it melts from {polymer.melting_onset} °C."
        )
    # latent heat of water at 100 °C, 2.26 MJ/kg, steam tables
    none = np.zeros((cells, len(polymer.parts)))
    return _plastic(polymer, mass, cells, flat, none, np.zeros(cells), moisture * 2.26e6)


def sheet(
    polymer: Polymer | Blend,
    *,
    mass: float,
    temperature: float | Array,
    cells: int = 48,
    melted: float | None = None,
) -> Layer:
    """A consolidated sheet; without `melted` it stands on the cooling curve, X = X_c(T)."""
    t = np.broadcast_to(np.asarray(temperature, dtype=float), (cells,)).copy()
    if melted is None:
        x = np.array([[frozen(v, part.row()) for _, part in polymer.parts] for v in t])
    else:
        x = np.full((cells, len(polymer.parts)), float(melted))
    return _plastic(polymer, mass, cells, t, x, np.ones(cells), 0.0)


@dataclass(frozen=True, slots=True)
class Joint:
    """Conductance between two layers [W/m2K], before and after the press closes.

    Against plastic, `open` and `closed` hold for loose flake and the `wet` pair once its face has melted.
    """

    open: float
    closed: float
    open_wet: float | None = None
    closed_wet: float | None = None

    @classmethod
    def fixed(cls, conductance: float) -> Joint:
        """The same at all times."""
        return cls(conductance, conductance)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """How an outer face loses heat.

    film: q = film (T - temperature) in series with half the outermost cell.
    still_air: free convection `natural` |ΔT|^`power` ΔT plus radiation with `emissivity`, at the true face.
    """

    kind: Literal["insulated", "film", "still_air"] = "insulated"
    film: float = 0.0  #: [W/m2K]
    temperature: float = 20.0  #: of the air, water or floor [°C]
    natural: float = 0.0
    power: float = 0.0
    emissivity: float = 0.0

    def __post_init__(self) -> None:
        _not_negative(film=self.film, natural=self.natural, power=self.power, emissivity=self.emissivity)
        if not -60 < self.temperature < 400:
            raise OutOfRange(f"temperature {self.temperature} °C beyond a face is outside -60 … 400 °C.")

    @classmethod
    def still_air(
        cls, *, side: Literal["top", "bottom"], room: float, emissivity: float, length: float
    ) -> Outside:
        """Still air above or below a plate; `length` = area / perimeter [m].

        Top h = 1.52 ΔT^(1/3), bottom 0.65 (ΔT/L)^(1/4): 0.15 Ra^(1/3) and 0.27 Ra^(1/4) in warm air,
        Incropera & DeWitt ch. 9, from memory.
        """
        if side == "top":
            return cls(kind="still_air", temperature=room, natural=1.52, power=1 / 3, emissivity=emissivity)
        return cls(
            kind="still_air",
            temperature=room,
            natural=0.65 * length**-0.25,
            power=0.25,
            emissivity=emissivity,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Controller:
    """A platen's heaters and thermostat; powers per m2 of platen.

    proportional: P = clip(gain (set_point - sensor), 0, power). on_off: full power until set_point + band,
    none until set_point - band; it starts on below the set-point. `on` carries the switch from run to run.
    """

    kind: Literal["proportional", "on_off"]
    set_point: float  #: [°C]
    power: float  #: [W/m2]
    gain: float = 2000.0  #: [W/m2K]
    band: float = 2.0  #: [K]
    on: bool | None = None

    def __post_init__(self) -> None:
        _not_negative(power=self.power, gain=self.gain, band=self.band)
        if not isfinite(self.set_point):
            raise OutOfRange(f"set_point is {self.set_point}; it must be a finite number.")

    def switched(self, on: bool) -> Controller:
        """The same with its switch as it was left."""
        return replace(self, on=on)
