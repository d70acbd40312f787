"""Which loads can be on together: everything at once, but for what wired interlocks hold back."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from flatstock.workshop.currents import counted_share
from flatstock.workshop.supply import Supply

__all__ = ["State", "states"]

State = Mapping[str, float]  #: share of its current that each load may draw; 0: off


def states(supply: Supply) -> list[State]:
    """Every worst state, the one with most loads first; heaters on on/off control always draw in full.

    A state is a choice of which of the loads that hold others back are on; everything else is on as far as
    it may be. Only wired interlocks count. A state whose every share is no more than another's is left out.
    """
    wired = [rule for rule in supply.rules if rule.wired]
    holders = sorted({rule.when for rule in wired} & {load.id for load in supply.loads})
    found: list[dict[str, float]] = []
    for on in product((True, False), repeat=len(holders)):
        running = {name for name, runs in zip(holders, on, strict=True) if runs}
        shares: dict[str, float] = {}
        for load in supply.loads:
            held = [rule.share for rule in wired if rule.then == load.id and rule.when in running]
            off = load.id in holders and load.id not in running
            shares[load.id] = 0.0 if off else counted_share(load, min(held, default=1.0))
        if all(shares[name] > 0 for name in running):  # one that is on and held to nothing is not on
            found.append(shares)
    return [one for one in found if not any(_under(one, other) for other in found if other is not one)]


def _under(one: State, other: State) -> bool:
    """True where `one` draws no more than `other` on every load, and less on some."""
    return all(one[name] <= other[name] for name in one) and any(one[name] < other[name] for name in one)
