"""What a regrind brings with it from the lots that it was made of: no rule ends at the shredder."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.errors import Fault
from flatstock.plastics.model import Plastic
from flatstock.plastics.safety import check_pressable
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["HELD", "ancestors", "held_parents", "inherited_strangers", "unfit_parents"]

HELD = (
    "quarantine",
    "blocked",
)  #: a parent that is used up, or waits for its own release, holds nothing back


def ancestors(shop: Workshop, lot: Lot) -> Iterator[Lot]:
    """Parents, their parents and so on that are on file, each once."""
    seen, waiting = {lot.id}, list(lot.parents)
    while waiting:
        name = waiting.pop(0)
        parent = shop.lots.get(name)
        if parent is not None and name not in seen:
            seen.add(name)
            yield parent
            waiting += parent.parents


def held_parents(shop: Workshop, lot: Lot) -> list[Lot]:
    """Lots that hold a regrind made from them, however often it was shredded; empty: none does."""
    return [parent for parent in ancestors(shop, lot) if parent.status in HELD]


def inherited_strangers(shop: Workshop, lot: Lot) -> dict[str, float]:
    """Plastic to share: the most that any parent holds, since nobody knows how much of which went in."""
    found: dict[str, float] = {}
    for parent in ancestors(shop, lot):
        for name, share in parent.strangers.items():
            found[name] = max(share, found.get(name, 0.0))
    return found


def unfit_parents(shop: Workshop, plastic: Plastic, lot: Lot, *, where: str) -> list[Fault]:
    """Why a regrind must not be pressed because of what it was made of; empty where its parents may be."""
    found = []
    clear = lot.bromine_free
    for parent in ancestors(shop, lot):
        tested = parent.bromine_free
        faults = check_pressable(
            plastic,
            None,
            parent.origin,
            parent.status if parent.status in HELD else None,
            form=parent.form,
            lot=f"{parent.id}, which {lot.id} was made from,",
            bromine_free=clear if clear is not None and tested is None else tested,
            strangers=parent.strangers,
            where=where,
        )
        found += [fault for fault in faults if fault.what.startswith("lot ")]
    return found
