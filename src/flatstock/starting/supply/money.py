"""Kilowatt-hours and their price, a month."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.evidence import Kind, Value, weakest
from flatstock.starting.supply.oven import MOTOR_HOURS, Oven, heat_up_time, heaters_power
from flatstock.starting.supply.worst import Worst, real_power
from flatstock.workshop.supply import Load, Supply

__all__ = ["Month", "month"]

_HOUR = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """What a month of pressing takes from the meter."""

    energy: Value  #: [J]
    demand: float  #: largest quarter-hour mean: the worst state held for as long [W]
    cost: Value | None  #: energy and demand; None: no price on file
    energy_cost: float | None
    demand_cost: float


def month(supply: Supply, oven: Oven, worst: Worst) -> Month:
    """Heat-up, holding and sheets of the heaters; everything else by its hours.

    Heaters are on in full for longer than a quarter of an hour while a press heats up, so the demand is
    that of the worst state; starting currents are too short to count.
    """
    power = heaters_power(supply)
    time = heat_up_time(power, capacity=oven.capacity.value, loss=oven.loss.value, rise=oven.rise) or 0.0
    heaters = power * time + oven.loss.value * oven.rise * oven.hot_time.value
    heaters = 0.0 if power == 0 else heaters + oven.sheets.value * oven.sheet_energy.value
    others = [(one, _time(one, oven, time)) for one in supply.loads if not one.heats]
    day = heaters + sum(real_power(one, supply) * t for one, t in others)
    kinds: list[Kind] = [
        oven.kind,
        oven.days.kind,
        oven.hot_time.kind,
        oven.sheets.kind,
        oven.sheet_energy.kind,
    ]
    kinds += ["measured" if one.hours is not None else "assumed" for one, _ in others]
    kind = weakest(*kinds)
    whole = day * oven.days.value
    spread = 0.3 if kind == "assumed" else 0.0  # how far assumed hours and sheets may be off
    energy = Value(
        whole, whole * (1 - spread), whole * (1 + spread), weakest(kind, "computed"), "docs/supply.md", "J"
    )
    demand_cost = supply.demand_price * worst.most_power
    price = supply.energy_price
    if price is None:
        return Month(
            energy=energy, demand=worst.most_power, cost=None, energy_cost=None, demand_cost=demand_cost
        )
    cost = energy.mapped(lambda joule: joule * price.value + demand_cost, unit="")
    return Month(
        energy=energy,
        demand=worst.most_power,
        cost=cost,
        energy_cost=whole * price.value,
        demand_cost=demand_cost,
    )


def _time(load: Load, oven: Oven, heat_up: float) -> float:
    """On, of a day [s]."""
    if load.hours is not None:
        return load.hours * _HOUR
    return MOTOR_HOURS * _HOUR if load.control == "motor" else oven.hot_time.value + heat_up
