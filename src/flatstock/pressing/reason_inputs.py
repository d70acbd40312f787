"""The inputs that a card's reasons name: each number with its unit, its evidence and where it stands."""

from __future__ import annotations

from flatstock.evidence import Kind, Value, weakest
from flatstock.pressing.card_numbers import Card
from flatstock.workshop.shop import Frame, PracticeValues

__all__ = ["FLOW", "HEAT", "MILLI", "PAGE", "SHOP", "Input", "cavity_area", "full_time", "on_file", "sure"]

#: name, value in SI, what it is multiplied by to be shown, and the unit then
Input = tuple[str, Value, float, str]
SHOP = "shop.toml of this workshop"
PAGE, FLOW, HEAT = "docs/pressing.md", "docs/flow.md", "docs/heat.md"
MILLI = 1e3


def sure(value: float, unit: str, source: str, kind: Kind = "measured") -> Value:
    """A plain number with where it stands."""
    return Value.sure(value, kind=kind, source=source, unit=unit)


#: plain numbers of a press that have a usual value where its file is silent
_OF_PRESSES = ("close_after", "control_band", "pistons")


def on_file(of: object, name: str, value: float, unit: str) -> Value:
    """A plain number of the shop with the evidence that its file states; a default of ours is assumed."""
    kind = getattr(of, "evidence", {}).get(name, "measured")
    silent = kind == "assumed" and (isinstance(of, PracticeValues) or name in _OF_PRESSES)
    return sure(value, unit, f"{SHOP}, or common practice where that is silent" if silent else SHOP, kind)


def full_time(card: Card) -> Value:
    """How long full pressure lasts."""
    if card.flash.asked_time is not None:
        return sure(card.full_time, "s", "asked for")
    return sure(card.full_time, "s", FLOW, "computed")


def cavity_area(frame: Frame) -> Value:
    """As good as the weaker of its two measures."""
    kinds = (frame.evidence.get(f"cavity_{side}", "measured") for side in ("length", "width"))
    return sure(frame.cavity_area, "m2", SHOP, weakest(*kinds))
