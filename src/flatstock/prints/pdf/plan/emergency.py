"""The emergency card: for the wall, not for a screen."""

from __future__ import annotations

from typing import Any

from flatstock.plastics.safety import rules

__all__ = ["emergency_card"]

#: what only the shop itself can say
_FILL = (
    "Emergency number",
    "This address, and how to get in",
    "Isolator of the heaters",
    "Extinguishers",
    "First aid, running water",
    "Who to call at night",
)
_MARKS = {"from_memory": "from memory: have somebody competent check it before it hangs"}


def emergency_card(shop: str) -> dict[str, Any]:
    """The words of pages/emergency.typ."""
    card = rules().emergency_card
    return {
        "title": f"Emergency card of {shop}",
        "shop": shop,
        "name": "IN DANGER",
        "below": "People first. No number on any screen matters now.",
        "lines": list(card.lines),
        "fill": list(_FILL),
        "foot": f"Decides: {card.defer_to}. These lines are {_MARKS.get(card.mark, card.mark)}. {rules().edition}.",
    }
