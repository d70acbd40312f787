"""What would help, each tried on the whole supply; and what only seems to, shown as such."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

from flatstock.starting.supply.allocation import best_allocation, movable
from flatstock.starting.supply.oven import MOTOR_HOURS, Oven, heat_up_time, heaters_power, least_power
from flatstock.starting.supply.states import states
from flatstock.starting.supply.worst import Worst, look_at, placed
from flatstock.workshop.supply import Load, Rule, Supply

__all__ = ["RATINGS", "Remedy", "remedies"]

#: IEC 60898-1 preferred ratings, then usual ones of fuses and larger breakers; from memory [A]
RATINGS: dict[str, tuple[int, ...]] = {
    "IEC": (6, 10, 13, 16, 20, 25, 32, 35, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630),
    #: NEC 240.6(A), from memory
    "NEC": (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One thing that could be done, and what the supply carries then."""

    what: str
    worst: Worst
    rated: float | None = None  #: of another connection [A]
    minutes_per_day: float | None = 0.0  #: heat-up and pressing time that it costs; None: not known
    rank: int = 0  #: of ways that cost as much, the one tried first: interlock, elements, connection
    note: str = ""

    @property
    def fits(self) -> bool:
        """True where no phase is over its rating any more."""
        return self.worst.verdict == "fits"


def remedies(supply: Supply, oven: Oven) -> list[Remedy]:
    """Ways out of an overload, those that fit first and cheapest first; none where nothing is over."""
    now = look_at(supply)
    if now.verdict == "fits":
        return []
    tried = [*_moves(supply, now), *_interlocks(supply, oven)]
    if not any(one.fits for one in tried):
        tried += [one for one in _pairs(supply, oven) if one.fits][:3]
    tried += [*_fewer_elements(supply, oven), *_bigger(supply)]
    unique = {one.what: one for one in tried}
    return sorted(unique.values(), key=_order)


def _order(one: Remedy) -> tuple[bool, int, float, float, str]:
    minutes = inf if one.minutes_per_day is None else one.minutes_per_day
    return (not one.fits, one.rank, minutes, max(one.worst.needed), one.what)


def _moves(supply: Supply, now: Worst) -> Iterator[Remedy]:
    """The best allocation, where it is better than this one; and each load on an overloaded phase moved alone."""
    loads = movable(supply)
    if not loads:
        return
    best = best_allocation(supply, loads)
    changed = {one.id: best.phases[one.id] for one in loads if best.phases[one.id] != one.phase}
    if changed and best.largest < max(now.needed) - 1e-6:
        yield _moved(supply, changed, now)
    for load in loads:
        if (load.phase or 1) in now.over(supply.rated):
            ways = [p for p in range(1, supply.lines + 1) if p != load.phase]
            yield min(
                (_moved(supply, {load.id: p}, now) for p in ways), key=lambda one: max(one.worst.needed)
            )


def _moved(supply: Supply, changed: dict[str, int], before: Worst) -> Remedy:
    worst = look_at(placed(supply, changed))
    by_id = {one.id: one for one in supply.loads}
    words = ", ".join(
        f"{name} from {_on(by_id[name], supply)} to {_on(by_id[name], supply, p)}"
        for name, p in changed.items()
    )
    over = sorted(worst.over(supply.rated))
    note = ""
    if over and max(worst.needed) >= max(before.needed) - 1e-9:
        note = f"only moves the overload: now {' and '.join(f'L{n}' for n in over)}"
    elif over:
        note = f"still over on {' and '.join(f'L{n}' for n in over)}"
    return Remedy(what=f"move {words}", worst=worst, minutes_per_day=0.0, note=note)


def _on(load: Load, supply: Supply, phase: int | None = None) -> str:
    at = phase or load.phase or 1
    return f"L{at}" if load.connection == "LN" else f"L{at}-L{at % supply.lines + 1}"


def _interlocks(supply: Supply, oven: Oven) -> Iterator[Remedy]:
    """Each single interlock: a heater on fewer elements, or off, while a motor runs; two motors never together."""
    most = max(look_at(supply).needed)
    for rule, minutes in _rules(supply, oven):
        worst = look_at(replace(supply, rules=(*supply.rules, rule)))
        if worst.verdict == "fits" or (worst.verdict != "over" and max(worst.needed) < most - 1e-6):
            note = "by phase angle alone: no margin at high voltage"
            if worst.verdict == "fits":
                note = (
                    f"costs nothing where {rule.when} waits until the press is hot" if rule.share > 0 else ""
                )
            yield Remedy(what=_in_words(supply, rule), worst=worst, minutes_per_day=minutes, note=note)


def _rules(supply: Supply, oven: Oven) -> Iterator[tuple[Rule, float | None]]:
    """Interlocks that could be wired; of a heater's steps only the largest that fits, else its smallest."""
    for motor in (one for one in supply.loads if not one.heats):
        for heater in (one for one in supply.loads if one.heats):
            steps = [Rule(when=motor.id, then=heater.id, share=s, wired=True) for s in [*_steps(heater), 0.0]]
            fitting = [
                r for r in steps if look_at(replace(supply, rules=(*supply.rules, r))).verdict == "fits"
            ]
            rule = (fitting or steps[-1:])[0]
            yield rule, _cost(supply, oven, motor, heater, rule.share)
    for one, other in combinations([load for load in supply.loads if not load.heats], 2):
        motors = [load for load in (one, other) if load.control == "motor"]
        if motors:
            first, second = (one, other) if one in motors else (other, one)
            hours = min(_hours(first), _hours(second))
            yield Rule(when=first.id, then=second.id, share=0.0, wired=True), hours * 60


def _steps(heater: Load) -> list[float]:
    """Shares of its power that a heater's elements allow, largest first; three phases switch in threes."""
    n = heater.elements or 0
    step = 3 if heater.connection == "3P" and n % 3 == 0 else 1
    return [k / n for k in range(n - step, 0, -step)]


def _hours(load: Load) -> float:
    return MOTOR_HOURS if load.hours is None else load.hours


def _cost(supply: Supply, oven: Oven, motor: Load, heater: Load, share: float) -> float | None:
    """Minutes a day that a press loses to heaters held back while a motor runs.

    The larger of: the motor running all through heat-up; the motor's hours a day in which the heaters can't
    keep up with sheets that follow each other.
    """
    whole = heaters_power(supply)
    less = whole - heater.power * (1 - share)
    slower = 0.0
    if share > 0:
        before, after = (_minutes(p, oven) for p in (whole, less))
        if before is None or after is None:
            return None
        slower = after - before
    short = max(0.0, 1 - less / oven.mean_power) if oven.mean_power > 0 else 0.0
    return max(min(slower, _hours(motor) * 60), _hours(motor) * 60 * short)


def _minutes(power: float, oven: Oven) -> float | None:
    time = heat_up_time(power, capacity=oven.capacity.value, loss=oven.loss.value, rise=oven.rise)
    return None if time is None else time / 60


def _in_words(supply: Supply, rule: Rule) -> str:
    then = next(one for one in supply.loads if one.id == rule.then)
    if rule.share == 0:
        return f"an interlock: {rule.then} off while {rule.when} runs"
    on = round(rule.share * (then.elements or 0))
    return f"an interlock: {rule.then} on {on} of {then.elements} elements while {rule.when} runs"


def _pairs(supply: Supply, oven: Oven) -> Iterator[Remedy]:
    """Where no single step fits: two interlocks, or an interlock with the best allocation."""
    singles = list(_rules(supply, oven))
    loads = movable(supply)
    for rule, minutes in singles:
        with_rule = replace(supply, rules=(*supply.rules, rule))
        if loads and len(states(with_rule)) <= 4:
            best = best_allocation(with_rule, loads)
            changed = {one.id: best.phases[one.id] for one in loads if best.phases[one.id] != one.phase}
            if changed:
                moved = _moved(with_rule, changed, look_at(with_rule))
                words = f"{_in_words(supply, rule)}; and {moved.what}"
                yield Remedy(what=words, worst=moved.worst, minutes_per_day=minutes)
    for (one, first), (other, second) in combinations(singles, 2):
        worst = look_at(replace(supply, rules=(*supply.rules, one, other)))
        minutes = None if first is None or second is None else first + second
        words = f"{_in_words(supply, one)}; and {_in_words(supply, other)}"
        yield Remedy(what=words, worst=worst, minutes_per_day=minutes)


def _fewer_elements(supply: Supply, oven: Oven) -> Iterator[Remedy]:
    """Fewer elements for good: the most that fit, and the longer heat-up every day."""
    for heater in (one for one in supply.loads if one.heats and one.elements):
        for share in _steps(heater):
            less = replace(
                heater, power=heater.power * share,
                current=None if heater.current is None else heater.current * share,
            )  # fmt: skip
            loads = tuple(less if one is heater else one for one in supply.loads)
            worst = look_at(replace(supply, loads=loads))
            if worst.verdict == "fits":
                power = heaters_power(supply) - heater.power + less.power
                before, after = _minutes(heaters_power(supply), oven), _minutes(power, oven)
                short = max(0.0, oven.mean_power / power - 1) * oven.hot_time.value / 60
                cost = None if before is None or after is None else after - before + short
                note = "" if power > least_power(oven) else "the press then never gets hot"
                on = round(share * (heater.elements or 0))
                what = f"{heater.id} on {on} of {heater.elements} elements at all times"
                yield Remedy(what=what, worst=worst, minutes_per_day=cost, rank=1, note=note)
                break


def _bigger(supply: Supply) -> Iterator[Remedy]:
    """The next size of connection that carries everything as it is."""
    most = max(look_at(supply).needed)
    size = next((a for a in RATINGS[supply.rule] if a >= most and a > supply.rated), None)
    if size is not None and supply.kind == "grid":
        worst = look_at(replace(supply, rated=float(size)))
        lines = "3 x " if supply.lines == 3 else ""
        what = f"a connection of {lines}{size} A in place of {supply.rated:g} A"
        yield Remedy(
            what=what,
            worst=worst,
            minutes_per_day=0.0,
            rated=float(size),
            rank=2,
            note="asked of the network and the landlord",
        )
