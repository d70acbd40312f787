"""A lot's state in words: its own, or that of what it was made from, which holds it no less."""

from __future__ import annotations

from flatstock.plastics.lot_states import state_words
from flatstock.pressing.ancestry import held_parents
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["held_through"]


def held_through(shop: Workshop, lot: Lot) -> str:
    """What holds a released regrind: "made from L-2301, which is blocked"; empty where nothing does.

    A lot that is held itself says so already.
    """
    if lot.status != "released":
        return ""
    parents = held_parents(shop, lot)
    said = " and ".join(f"{one.id}, which is {state_words(one.status)}" for one in parents)
    return f"made from {said}" if said else ""
