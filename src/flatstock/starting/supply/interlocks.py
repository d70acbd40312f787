"""Interlocks that could be wired, elements that could be left out, and what each costs a press in minutes a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from flatstock.starting.supply.oven import MOTOR_HOURS, Oven, heat_up_time, heaters_power, least_power
from flatstock.workshop.supply import Load, Rule, Supply

__all__ = ["Change", "fewer_elements", "interlocks", "together"]


#: note of a change that is no help, whatever the supply then carries
NEVER_HOT = "the press then never gets hot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A supply changed in one way."""

    what: str
    supply: Supply
    minutes: float | None  #: a day that pressing loses; None: the press never gets hot
    rule: Rule | None = None
    note: str = ""


def interlocks(supply: Supply, oven: Oven) -> list[list[Change]]:
    """For each pair of loads that could be held apart: the ways to do it, the mildest first.

    A heater is held to fewer of its elements, or off, while a motor or another heater is on; a motor is off
    while another runs. What is on all day (light, hood) is no reason to hold anything back.
    """
    found = []
    heaters = [one for one in supply.loads if one.heats]
    motors = [one for one in supply.loads if one.control == "motor" and not one.heats]
    for when in [*motors, *heaters]:
        for then in heaters:
            if when is not then:
                shares = [*_steps(then), 0.0]
                found.append(
                    [_held(supply, when, then, s, _cost(supply, oven, when, then, s)) for s in shares]
                )
    for first, second in combinations(motors, 2):
        minutes = 60 * min(_hours(first), _hours(second))
        found.append([_held(supply, first, second, 0.0, minutes)])
    return found


def together(one: Change, other: Change) -> Change | None:
    """Both changes; the second an interlock, counted on the elements that the first leaves. None: it adds nothing."""
    rule = other.rule
    assert rule is not None
    before, after = (next(x for x in c.supply.loads if x.id == rule.then) for c in (other, one))
    if before.elements and after.elements and before.elements != after.elements and rule.share > 0:
        on = round(rule.share * before.elements)
        if on >= after.elements:
            return None
        rule = replace(rule, share=on / after.elements)
    minutes = None if one.minutes is None or other.minutes is None else one.minutes + other.minutes
    return Change(
        what=f"{one.what}; and {other.what}",
        supply=replace(one.supply, rules=(*one.supply.rules, rule)),
        minutes=minutes,
    )


def fewer_elements(supply: Supply, oven: Oven) -> Iterator[list[Change]]:
    """For each heater with elements: fewer of them for good, the most first, and the longer heat-up every day."""
    before = _minutes(heaters_power(supply), oven)
    for heater in (one for one in supply.loads if one.heats and one.elements):
        ways = []
        for share in _steps(heater):
            less = replace(
                heater,
                power=heater.power * share,
                elements=round(share * (heater.elements or 0)),
                current=None if heater.current is None else heater.current * share,
            )
            power = heaters_power(supply) - heater.power + less.power
            after = _minutes(power, oven)
            short = max(0.0, oven.mean_power / power - 1) * oven.hot_time.value / 60
            cost = None if before is None or after is None else after - before + short
            loads = tuple(less if one is heater else one for one in supply.loads)
            ways.append(Change(
                what=f"{heater.id} on {less.elements} of {heater.elements} elements at all times",
                supply=replace(supply, loads=loads), minutes=cost,
                note="" if power > least_power(oven) else NEVER_HOT,
            ))  # fmt: skip
        yield ways


def _steps(heater: Load) -> list[float]:
    """Shares of its power that a heater's elements allow, largest first; three phases switch in threes."""
    n = heater.elements or 0
    step = 3 if heater.connection == "3P" and n % 3 == 0 else 1
    return [k / n for k in range(n - step, 0, -step)]


def _held(supply: Supply, when: Load, then: Load, share: float, minutes: float | None) -> Change:
    rule = Rule(when=when.id, then=then.id, share=share, wired=True)
    on = round(share * (then.elements or 0))
    held = f"{then.id} on {on} of {then.elements} elements" if share > 0 else f"{then.id} off"
    waits = share > 0 and not when.heats
    return Change(
        what=f"an interlock: {held} while {when.id} {'is on' if when.heats else 'runs'}",
        supply=replace(supply, rules=(*supply.rules, rule)),
        minutes=minutes,
        rule=rule,
        note=f"costs nothing where {when.id} waits until the press is hot" if waits else "",
    )


def _hours(load: Load) -> float:
    return MOTOR_HOURS if load.hours is None else load.hours


def _cost(supply: Supply, oven: Oven, when: Load, heater: Load, share: float) -> float | None:
    """Minutes a day that a press loses to heaters held back while something else is on.

    Beside a motor, the larger of: the motor running all through heat-up; the motor's hours a day in which the
    heaters can't keep up with sheets that follow each other. Beside another heater: the longer heat-up, or, where
    it is off meanwhile, one whole heat-up after the other.
    """
    whole = heaters_power(supply)
    less = whole - heater.power * (1 - share)
    before, after = (_minutes(p, oven) for p in (whole, less))
    if when.heats and share == 0:
        return before
    if before is None or (share > 0 and after is None):
        return None
    slower = (after or 0.0) - before if share > 0 else 0.0
    if when.heats:
        return slower
    short = max(0.0, 1 - less / oven.mean_power) if oven.mean_power > 0 else 0.0
    return max(min(slower, _hours(when) * 60), _hours(when) * 60 * short)


def _minutes(power: float, oven: Oven) -> float | None:
    time = heat_up_time(power, capacity=oven.capacity.value, loss=oven.loss.value, rise=oven.rise)
    return None if time is None else time / 60
