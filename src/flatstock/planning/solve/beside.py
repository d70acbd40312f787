"""Moulds that melt others again in a stack: either they have cooled for long enough before they come into it, or they
are never there together.

What they lie with is what decides: among its like a mould may be laid as soon as it may be opened.
"""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.planning.problem.straight_lines import SCALE
from flatstock.planning.problem.warmth import Plates, stack_lines, stacked_after
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["add_beside"]


def add_beside(model: Model, week: Week, chains: Sequence[Chain], plates: Plates) -> None:
    """Nothing is laid with what it would melt again (`Sheet.melts`); what lies in a stack already is left as it is.

    Its variables come behind all others of a week: values of an earlier search keep their places.
    """
    stacks = [place.id for place in week.of_kind("stack") if place.capacity > 1]
    for chain in chains:
        if not chain.sheet.melts or chain.begun("move") or chain.begun("demould"):
            continue
        cold = model.new_bool_var(f"{chain.sheet.id} is laid cold")
        for place in stacks:
            for other in chains:
                if other is not chain and other.sheet.kind.key in chain.sheet.melts and place in other.stay:
                    _apart(model, chain, other, place, cold)
        _cold(model, chain, plates, cold)


def _apart(model: Model, chain: Chain, other: Chain, place: str, cold: Var) -> None:
    if place not in chain.stay:
        return
    both = [chain.stay[place], other.stay[place]]
    names = f"{chain.sheet.id} {other.sheet.id}"
    gone, yet = model.new_bool_var(f"not hot on {names}"), model.new_bool_var(f"not hot under {names}")
    model.add_bool_or([gone, yet, cold, *(~one for one in both)])
    model.add(other.demould <= chain.leave).only_enforce_if([gone, *both])
    model.add(chain.demould <= other.leave).only_enforce_if([yet, *both])


def _cold(model: Model, chain: Chain, plates: Plates, cold: Var) -> None:
    """As long under pressure as it takes, where it is laid cold."""
    sheet = chain.sheet
    for place, chosen in chain.cooling.items():
        warming, stay = sheet.kind.warming.get(place), chain.leave - chain.clamped
        if warming is None or not sheet.stack_percent:
            model.add(stay >= stacked_after(sheet, place, 0)).only_enforce_if([chosen, cold])
            continue
        if chain.plates is None:
            warmth: Var = plates.warmth.get(sheet.id, 0)
        else:
            known = plates.warmth.get(sheet.id)
            warmth = chain.plates.found - chain.clamped if known is None else known
        for slope, base in stack_lines(warming, sheet.stack_percent):
            model.add(SCALE * stay >= slope * warmth + base).only_enforce_if([chosen, cold])
        model.add(stay >= sheet.stack_least).only_enforce_if([chosen, cold])
