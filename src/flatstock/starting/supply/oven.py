"""What the heaters have to do: heat-up, holding, sheets; and what less power costs."""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from flatstock.evidence import Kind, Value, weakest
from flatstock.workshop.shop import HotPress, Workshop
from flatstock.workshop.supply import Supply

__all__ = ["AREA_POWER", "MOTOR_HOURS", "Oven", "heat_up_time", "heaters_power", "least_power", "oven_of"]

AREA_POWER = 17_000.0  #: heaters for a square metre of sheet [W/m2]; common practice, no source
_MASS_PER_POWER = 462 / 18_000  # [kg/W] steel platens and hangers, as the demo's press; common practice
_LOSS_PER_POWER = 12 / 18_000  # [W/K per W] the same press
_STEEL = 490.0  # [J/kgK]
_SHEET_ENERGY = 3.0 * 3.6e6  # [J/m2] of sheet, the heaters' work; common practice, no source
_ASSUMED = "common practice, no source"
MOTOR_HOURS = 1.0  #: of a motor, a day, where nothing is said; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Oven:
    """The press that the heaters heat, and how it is used; every number with its evidence."""

    capacity: Value  #: [J/K]
    loss: Value  #: [W/K]
    hot: Value  #: [°C]
    room: Value  #: [°C]
    days: Value  #: a month
    hot_time: Value  #: a day, from hot to off [s]
    sheets: Value  #: a day
    cycle: Value  #: of the hot press [s]
    sheet_energy: Value  #: [J]

    @property
    def rise(self) -> float:
        """[K]"""
        return self.hot.value - self.room.value

    @property
    def kind(self) -> Kind:
        """The weakest evidence that a heat-up time rests on."""
        return weakest(self.capacity.kind, self.loss.kind, self.hot.kind, self.room.kind)

    @property
    def mean_power(self) -> float:
        """What the heaters give on average while sheets follow each other [W]."""
        return self.loss.value * self.rise + self.sheet_energy.value / self.cycle.value


def heat_up_time(power: float, *, capacity: float, loss: float, rise: float) -> float | None:
    """Time to warm a lumped body by `rise` at full power [s]; None where it never gets there.

    t = C/UA ln(P/(P - UA dT)), closed form of C dT/dt = P - UA dT. SI.

    >>> round(heat_up_time(18e3, capacity=462 * 490, loss=12, rise=177) / 60, 1)
    39.5
    """
    if power <= loss * rise:
        return None
    if loss == 0:
        return capacity * rise / power
    return capacity / loss * log(power / (power - loss * rise))


def least_power(oven: Oven) -> float:
    """Below this the press never gets hot [W]."""
    return oven.loss.value * oven.rise


def heaters_power(supply: Supply) -> float:
    """All that heats [W]."""
    return sum(one.power for one in supply.loads if one.heats)


def oven_of(supply: Supply, shop: Workshop | None) -> Oven:
    """From supply.toml's [use], else the default press of shop.toml, else assumed by the heaters' power."""
    use, power = supply.use, heaters_power(supply)
    press = shop.hot_presses.get(shop.default_hot_press or "") if shop else None
    metal = _said(use.heat_capacity, "J/kgK") or (press.bottom.metal.specific_heat if press else None)
    metal = metal or _guess(_STEEL, 470.0, 510.0, "J/kgK")
    mass = _said(use.heated_mass, "kg") or (_mass(press) if press else None)
    mass = mass or _around(power * _MASS_PER_POWER, "kg")
    capacity = Value(
        mass.value * metal.value, mass.low * metal.low, mass.high * metal.high,
        weakest(mass.kind, metal.kind), mass.source, "J/K",
    )  # fmt: skip
    room = _said(use.room, "°C") or (shop.room if shop else None) or _guess(18.0, 10.0, 25.0, "°C")
    return Oven(
        capacity=capacity,
        loss=_said(use.loss, "W/K")
        or (_loss(press) if press else None)
        or _around(power * _LOSS_PER_POWER, "W/K"),
        hot=_said(use.hot, "°C") or _guess(195.0, 180.0, 210.0, "°C"),
        room=room,
        days=_said(use.days_per_month, "d") or _guess(21.0, 18.0, 22.0, "d"),
        hot_time=_said(use.hot_time, "s") or _guess(7 * 3600.0, 6 * 3600.0, 8 * 3600.0, "s"),
        sheets=_said(use.sheets_per_day, "") or _guess(8.0, 6.0, 10.0, ""),
        cycle=_said(use.cycle, "s") or _guess(35 * 60.0, 25 * 60.0, 50 * 60.0, "s"),
        sheet_energy=_said(use.energy_per_sheet, "J") or _around(power / AREA_POWER * _SHEET_ENERGY, "J"),
    )


def _said(value: float | None, unit: str) -> Value | None:
    return None if value is None else Value.sure(float(value), source="supply.toml", unit=unit)


def _guess(value: float, low: float, high: float, unit: str) -> Value:
    return Value(value, low, high, "assumed", _ASSUMED, unit)


def _around(value: float, unit: str) -> Value:
    """A number by rule of thumb, give or take a third."""
    return _guess(value, value * 0.7, value * 1.35, unit)


def _mass(press: HotPress) -> Value:
    mass = press.heated_mass or press.bottom.mass + press.top.mass
    return Value.sure(mass, source="shop.toml", unit="kg")


def _loss(press: HotPress) -> Value | None:
    if press.loss is not None:
        return press.loss
    area = press.bottom.area + press.top.area
    return press.back_film.mapped(lambda u: u * area, unit="W/K", kind="computed")
