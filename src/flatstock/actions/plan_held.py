"""What of a plan can't be pressed any more, because a lot of it is held since the plan was made."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from flatstock.actions.board import lot_faults
from flatstock.workshop.shop import Workshop

__all__ = ["Held", "held_in"]


@dataclass(frozen=True, slots=True)
class Held:
    """A lot that nothing may be pressed from, and the planned sheets that wait for it."""

    lot: str
    why: str  #: a sentence
    sheets: tuple[str, ...]


def held_in(plan: Mapping[str, Any], shop: Workshop, begun: Collection[str]) -> list[Held]:
    """By lot; `begun`: sheets that have been laid into a press or given up, which are past being held."""
    waiting: dict[str, list[str]] = {}
    for sheet in plan["sheets"]:
        for part in sheet["lots"] if sheet["id"] not in begun else ():
            waiting.setdefault(part["lot"], []).append(sheet["id"])
    found = []
    for lot, sheets in sorted(waiting.items()):
        faults = lot_faults(shop, lot) if lot in shop.lots else ()
        if faults:
            found.append(Held(lot, faults[0].sentence(), tuple(sorted(sheets))))
    return found
