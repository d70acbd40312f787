"""Which press this connection can run: kW that are left for heaters, the sheet that is, the heat-up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

from flatstock.starting.supply.oven import AREA_POWER, Oven, heat_up_time
from flatstock.starting.supply.worst import NEC_CONTINUOUS, look_at
from flatstock.workshop.supply import Load, Rule, Supply

__all__ = ["Left", "power_left", "what_is_left"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """Heaters that fit beside the other loads."""

    what: str  #: what is off meanwhile
    power: float  #: [W]
    heat_up: float | None  #: of the press on file with that much [s]; None: it never gets hot

    @property
    def sheet_area(self) -> float:
        """[m2]; 17 kW a square metre of sheet, common practice, no source"""
        return self.power / AREA_POWER


def power_left(supply: Supply) -> float:
    """Power of heaters, balanced over all lines, that fits beside everything else [W]; 0 where nothing does.

    By the current in the largest line, and on a generator by its kVA too, whatever its breaker would let through.
    """
    others = replace(
        supply, loads=tuple(one for one in supply.loads if not one.heats), rules=_without_heaters(supply)
    )
    beside = look_at(others) if others.loads else None
    most = max(beside.needed) if beside is not None else 0.0
    amps = max(0.0, supply.rated - most) / (NEC_CONTINUOUS if supply.rule == "NEC" else 1.0)
    if supply.lines == 1 or supply.volts_LL is None:
        power = amps * supply.volts_LN
    else:
        power = amps * supply.volts_LL * (sqrt(3) if supply.lines == 3 else 1.0)
    if supply.kind == "generator" and supply.generator is not None:
        real, reactive = (0.0, 0.0) if beside is None else (beside.power, beside.reactive)
        power = min(power, sqrt(max(0.0, supply.generator**2 - reactive**2)) - real)
    return max(0.0, power)


def what_is_left(supply: Supply, oven: Oven) -> list[Left]:
    """Beside everything else; and with each motor, and with all of them, off while the heaters are on."""
    motors = [one for one in supply.loads if not one.heats and one.control == "motor"]
    found = [_left("beside everything else", supply, (), oven)]
    found += [_left(f"{one.id} off meanwhile", supply, (one,), oven) for one in motors]
    if len(motors) > 1:
        found.append(_left("every motor off meanwhile", supply, tuple(motors), oven))
    return found


def _left(what: str, supply: Supply, off: tuple[Load, ...], oven: Oven) -> Left:
    names = {one.id for one in off}
    rules = tuple(r for r in supply.rules if r.when not in names and r.then not in names)
    rest = replace(supply, loads=tuple(one for one in supply.loads if one.id not in names), rules=rules)
    power = power_left(rest)
    time = heat_up_time(power, capacity=oven.capacity.value, loss=oven.loss.value, rise=oven.rise)
    return Left(what=what, power=power, heat_up=time)


def _without_heaters(supply: Supply) -> tuple[Rule, ...]:
    names = {one.id for one in supply.loads if one.heats}
    return tuple(r for r in supply.rules if r.when not in names and r.then not in names)
