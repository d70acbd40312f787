"""The question of `flatstock supply` answered: everything worked out once, for the document and the prints."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from flatstock.starting.supply.allocation import Allocation, best_allocation, movable, settle
from flatstock.starting.supply.cable import Cable, cable
from flatstock.starting.supply.carries import Left, what_is_left
from flatstock.starting.supply.leakage import Leakage, leakage
from flatstock.starting.supply.money import Month, month
from flatstock.starting.supply.oven import Oven, heat_up_time, heaters_power, oven_of
from flatstock.starting.supply.remedies import Remedy, remedies
from flatstock.starting.supply.starts import Start, start_order, starts
from flatstock.starting.supply.wiring import Mistake, mistakes
from flatstock.starting.supply.worst import Verdict, Worst, look_at
from flatstock.workshop.shop import Workshop
from flatstock.workshop.supply import Supply, volts_of

__all__ = ["Answer", "answer"]

HIGHEST_PLUG = 254.0  # [V] above 240 V and 6 %, the most that ordinary plugs are made for; from memory
GENERATOR_SHARE = 0.8  # of its kVA in running load; common practice, no source: its maker sizes it


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """All that is worked out about one supply."""

    supply: Supply  #: every load with its phase
    worst: Worst
    verdict: Verdict
    allocation: Allocation
    remedies: list[Remedy]
    starts: list[Start]
    start_order: list[str]
    cable: Cable
    leakage: Leakage
    oven: Oven
    heat_up: float | None  #: [s]; None: no heaters, or it never gets hot
    month: Month
    left: list[Left]
    mistakes: list[Mistake]
    warnings: list[str]


def answer(asked: Supply, shop: Workshop | None) -> Answer:
    """Work everything out; `shop` knows the press that is heated, if there is one."""
    supply = settle(asked)
    worst = look_at(supply)
    oven = oven_of(supply, shop)
    power = heaters_power(supply)
    heat_up = None
    if power > 0:
        heat_up = heat_up_time(power, capacity=oven.capacity.value, loss=oven.loss.value, rise=oven.rise)
    generator = _generator(supply, worst)
    return Answer(
        supply=supply,
        worst=worst,
        verdict="over" if generator == "over" else worst.verdict,
        allocation=best_allocation(supply, movable(supply)),
        remedies=remedies(supply, oven),
        starts=starts(supply),
        start_order=start_order(supply),
        cable=cable(supply),
        leakage=leakage(supply),
        oven=oven,
        heat_up=heat_up,
        month=month(supply, oven, worst),
        left=what_is_left(supply, oven) if power > 0 or supply.loads else [],
        mistakes=mistakes(supply),
        warnings=_warnings(asked, supply, worst, oven, power, generator),
    )


def _generator(supply: Supply, worst: Worst) -> str:
    """ "over", "near" or "" against the generator's own kVA."""
    if supply.kind != "generator" or supply.generator is None:
        return ""
    if worst.apparent > supply.generator:
        return "over"
    return "near" if worst.apparent > GENERATOR_SHARE * supply.generator else ""


def _generator_starts(supply: Supply) -> list[str]:
    """Motors whose start alone asks for more than the generator has."""
    if supply.kind != "generator" or supply.generator is None:
        return []
    by_id = {one.id: one for one in supply.loads}
    asked = []
    for one in starts(supply):
        load = by_id[one.load]
        kVA = (
            one.start
            * volts_of(load.connection, supply)
            * (sqrt(3) if load.connection == "3P" else 1.0)
            / 1000
        )
        if kVA > supply.generator / 1000:
            asked.append(f"{one.load} about {kVA:.0f} kVA")
    if not asked:
        return []
    rated = supply.generator / 1000
    return [
        f"Starting takes, for a second or two, {', '.join(asked)} of a generator of {rated:g} kVA: ask its maker."
    ]


def _warnings(
    asked: Supply, supply: Supply, worst: Worst, oven: Oven, power: float, generator: str
) -> list[str]:
    found = []
    if generator:
        kVA, rated = worst.apparent / 1000, (supply.generator or 0) / 1000
        found.append(
            f"{kVA:.1f} kVA on a generator of {rated:g} kVA"
            + (": more than it has." if generator == "over" else ": over 80 % of it; ask its maker.")
        )
    found += _generator_starts(supply)
    if supply.kind == "generator" and supply.generator is None:
        found.append("The generator's kVA is not on file; its breaker alone does not say what it can feed.")
    high = max(worst.high_phasor)
    if worst.verdict == "only_by_phase_angle" and high > supply.rated:
        found.append(
            f"By phase angle {max(worst.phasor):.1f} A stay under {supply.rated:g} A, but with the voltage 10 % up"
            f" the heaters take it to {high:.1f} A: there is no margin, and the sum of magnitudes decides."
        )
    elif worst.verdict == "fits" and max(worst.high_arithmetic) > supply.rated:
        found.append(
            f"It fits at nominal voltage; with the voltage 10 % up the heaters take it to"
            f" {max(worst.high_arithmetic):.1f} A against {supply.rated:g} A."
        )
    free = {one.id for one in movable(asked)}
    unsettled = [one.id for one in asked.loads if one.id in free and one.phase is None]
    if unsettled:
        words = ", ".join(f"{one.id} on L{one.phase}" for one in supply.loads if one.id in unsettled)
        found.append(f"No phase is written for {', '.join(unsettled)}: counted where it is best, {words}.")
    habits = [rule for rule in supply.rules if not rule.wired]
    if habits:
        listed = ", ".join(f"{r.then} with {r.when}" for r in habits)
        found.append(f"A habit is no interlock and is not counted: {listed}.")
    for one in supply.loads:
        if one.heats and one.connection == "3P" and one.elements and one.elements % 3:
            found.append(
                f"{one.id}: {one.elements} elements don't share out over three phases; counted as if they did."
            )
    if power > 0 and power <= oven.loss.value * oven.rise:
        found.append(
            f"{power / 1000:.1f} kW never bring this press to {oven.hot.value:g} °C: it loses"
            f" {oven.loss.value * oven.rise / 1000:.1f} kW there."
        )
    found += _no_plug_of_this_voltage(supply)
    if supply.rule == "NEC":
        found.append(
            "NEC counts what is on for three hours and more at 125 %; only heaters and loads marked continuous are."
        )
    if not power:
        found.append("Nothing on this supply heats.")
    return found


def _no_plug_of_this_voltage(supply: Supply) -> list[str]:
    """One-phase loads on 277 or 347 V to neutral: ordinary plugs there are for 120 V, behind a transformer."""
    between = [one.id for one in supply.loads if one.connection == "LN"]
    if not between or supply.volts_LN <= HIGHEST_PLUG:
        return []
    return [
        f"Counted from line to neutral, at {supply.volts_LN:.0f} V: {', '.join(between)}. Nothing with an ordinary"
        " plug takes that; such loads hang on a transformer, which is counted as one load from line to line (LL) or"
        " on three phases (3P). Ask the electrician."
    ]
