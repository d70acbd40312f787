"""Look at the electrical supply of a workshop, before or after it has a shop.toml."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.actions.workshops import Beside, shop_beside, units_of
from flatstock.starting.supply.answer import answer
from flatstock.starting.supply.document import document
from flatstock.starting.supply.read import read_supply, without

__all__ = ["SupplyAnswer", "look_at_supply"]


@dataclass(frozen=True, slots=True)
class SupplyAnswer:
    """What the connection carries, and on what paper to print it."""

    document: dict[str, Any]  #: `flatstock.supply/1`
    paper: str
    system: str  #: "metric" or "us"

    @property
    def fits(self) -> bool:
        """True where no phase is over its rating."""
        return bool(self.document["verdict"] == "fits")


def look_at_supply(
    folder: Path,
    beside: Beside | None = None,
    *,
    without_loads: Sequence[str] = (),
    made_at: datetime | None = None,
) -> SupplyAnswer:
    """The supply in `folder`, without some of its loads; `beside` as `shop_beside` found it.

    Raises
    ------
    Refused
        With every fault of supply.toml.
    """
    supply, notes = read_supply(folder)
    shop, said = beside or shop_beside(folder)
    if without_loads:
        supply = without(supply, list(without_loads))
        said = [f"Left out as asked: {', '.join(without_loads)}.", *said]
    found = document(answer(supply, shop), shop=shop.name if shop else folder.name, made_at=made_at)
    found["warnings"] = [*found["warnings"], *notes, *said]
    system = shop.units_shown if shop else units_of(folder)
    paper = shop.paper if shop else "letter" if system == "us" else "a4"
    return SupplyAnswer(document=found, paper=paper, system=system)
