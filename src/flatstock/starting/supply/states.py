"""Which loads can be on together: everything at once, but for what wired interlocks hold back."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import product
from typing import Any

from flatstock.workshop.currents import counted_share
from flatstock.workshop.supply import Rule, Supply

__all__ = ["State", "states"]

State = Mapping[str, float]  #: share of its current that each load may draw; 0: off
Counts = tuple[Any, ...]


def states(supply: Supply) -> list[State]:
    """Every worst state, the one with most loads first; heaters on on/off control always draw in full.

    A state is a choice of which of the loads that hold others back are on; everything else is on as far as
    it may be. Only wired interlocks count. A state whose every share is no more than another's is left out.
    """
    wired = tuple(rule for rule in supply.rules if rule.wired)
    shares = {rule.share for rule in wired} | {1.0, 0.0}
    counts = tuple(
        (load.id, *((share, counted_share(load, share)) for share in sorted(shares))) for load in supply.loads
    )
    return [dict(one) for one in _worst(wired, counts)]


@lru_cache(maxsize=64)  # remedies look at hundreds of supplies that differ in phases and ratings alone
def _worst(wired: tuple[Rule, ...], counts: tuple[Counts, ...]) -> tuple[tuple[tuple[str, float], ...], ...]:
    """The states as pairs; `counts`: for each load what each share of it counts as."""
    counted = {name: dict(pairs) for name, *pairs in counts}
    holders = sorted({rule.when for rule in wired} & set(counted))
    touched = [name for name in counted if name in holders or any(rule.then == name for rule in wired)]
    found: dict[tuple[float, ...], None] = {}  # shares of what any rule touches, in the order they came
    for on in product((True, False), repeat=len(holders)):
        running = {name for name, runs in zip(holders, on, strict=True) if runs}
        shares = []
        for name in touched:
            held = [rule.share for rule in wired if rule.then == name and rule.when in running]
            off = name in holders and name not in running
            shares.append(0.0 if off else counted[name][min(held, default=1.0)])
        if all(share > 0 for name, share in zip(touched, shares, strict=True) if name in running):
            found[tuple(shares)] = None  # one that is on and held to nothing is not on
    full = {name: counted[name][1.0] for name in counted}
    return tuple(
        tuple((full | dict(zip(touched, one, strict=True))).items())
        for one in found
        if not any(_under(one, other) for other in found if other is not one)
    )


def _under(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """True where `one` draws no more than `other` on every load, and less on some."""
    return one != other and all(a <= b for a, b in zip(one, other, strict=True))
