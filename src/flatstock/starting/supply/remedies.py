"""What would help, each tried on the whole supply; and what only seems to, shown as such."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, product
from math import inf

from flatstock.starting.supply.allocation import best_allocation, movable
from flatstock.starting.supply.interlocks import NEVER_HOT, Change, fewer_elements, interlocks, together
from flatstock.starting.supply.oven import Oven
from flatstock.starting.supply.worst import Worst, fits, look_at, needed, placed
from flatstock.workshop.supply import Load, Supply

__all__ = ["RATINGS", "Remedy", "remedies"]

#: IEC 60898-1 preferred ratings, then usual ones of fuses and larger breakers; from memory [A]
RATINGS: dict[str, tuple[int, ...]] = {
    "IEC": (6, 10, 13, 16, 20, 25, 32, 35, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630),
    #: NEC 240.6(A), from memory
    "NEC": (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400),
}  # fmt: skip
_LOOKED = 2000  # pairs of changes that are tried
_ALLOCATED = 5  # interlocks, those that take most off first, that are tried with the best allocation


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
        tried += sorted((one for one in _pairs(supply, oven) if one.fits), key=_order)[:3]
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
    """Each single interlock at the mildest step that fits; those that fit by phase angle alone, said so."""
    most = max(look_at(supply).needed)
    for ways in interlocks(supply, oven):
        fitting = _first_fitting(ways)
        if fitting is not None:
            yield fitting
        elif (worst := look_at(ways[-1].supply)).verdict != "over" and max(worst.needed) < most - 1e-6:
            note = "by phase angle alone: no margin at high voltage"
            yield Remedy(what=ways[-1].what, worst=worst, minutes_per_day=ways[-1].minutes, note=note)


def _first_fitting(ways: list[Change], rank: int = 0) -> Remedy | None:
    for way in ways:
        if fits(way.supply):
            worst = look_at(way.supply)
            return Remedy(what=way.what, worst=worst, minutes_per_day=way.minutes, rank=rank, note=way.note)
    return None


def _pairs(supply: Supply, oven: Oven) -> Iterator[Remedy]:
    """Where no single step fits: an interlock with the best allocation, with fewer elements, or with another."""
    singles = interlocks(supply, oven)
    loads = movable(supply)
    hardest = sorted((ways[-1] for ways in singles), key=lambda way: max(needed(way.supply)))
    for way in hardest[:_ALLOCATED]:
        if loads:
            best = best_allocation(way.supply, loads)
            changed = {one.id: best.phases[one.id] for one in loads if best.phases[one.id] != one.phase}
            if changed:
                moved = _moved(way.supply, changed, look_at(way.supply))
                yield replace(moved, what=f"{way.what}; and {moved.what}", minutes_per_day=way.minutes)
    groups = [*singles, *_warm(supply, oven)]
    looked = 0
    for first, second in combinations(groups, 2):
        ways = first if second[0].rule is not None else second
        rules = second if second[0].rule is not None else first
        for way, rule in product(ways, rules):
            if rule.rule is None or looked > _LOOKED:
                break
            looked += 1
            both = together(way, rule)
            if both is not None and fits(both.supply):
                yield Remedy(what=both.what, worst=look_at(both.supply), minutes_per_day=both.minutes)
                break


def _fewer_elements(supply: Supply, oven: Oven) -> Iterator[Remedy]:
    """Fewer elements for good: the most that fit; where that leaves the press cold it is no way out."""
    for ways in _warm(supply, oven):
        if (fitting := _first_fitting(ways, rank=1)) is not None:
            yield fitting


def _warm(supply: Supply, oven: Oven) -> Iterator[list[Change]]:
    """Fewer elements, as far as the press still gets hot."""
    for ways in fewer_elements(supply, oven):
        if warm := [way for way in ways if way.note != NEVER_HOT]:
            yield warm


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
