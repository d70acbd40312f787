"""The dwell of a mould whose press was not as its card has it: the run board and a plan from now on ask it here, so
that both know the same transfer."""

from __future__ import annotations

from typing import NamedTuple

from flatstock.actions.hot_history import HotHistory
from flatstock.pressing.after_a_cut import CutDwell, dwell_with_cuts
from flatstock.pressing.card import Card, work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.running.sheets import Planned
from flatstock.workshop.shop import Workshop

__all__ = ["Recipe", "card_of", "dwell_after", "recipe_of"]


class Recipe(NamedTuple):
    """What a card is asked by."""

    plastic: str
    thickness: float  #: [m]
    press: str | None
    set_point: float | None  #: [°C]
    lots: tuple[tuple[str, float], ...]  #: [kg]


def recipe_of(sheet: Planned, press: str | None) -> Recipe:
    """Of a sheet with a plastic and a thickness, in a hot press."""
    assert sheet.plastic is not None
    assert sheet.thickness_mm is not None
    lots = tuple(sorted(sheet.lots.items()))
    return Recipe(sheet.plastic, sheet.thickness_mm / 1000, press, sheet.set_point, lots)


def card_of(shop: Workshop, recipe: Recipe) -> Card:
    """The card of a sheet that is pressed. Raises `Refused` as `work_out` does."""
    whole = sum(mass for _, mass in recipe.lots)
    question = CardQuestion(
        plastic=recipe.plastic,
        thickness=recipe.thickness,
        press=recipe.press,
        set_point=recipe.set_point,
        lots={lot: mass / whole for lot, mass in recipe.lots} if whole else {},
    )
    return work_out(shop, question, pressed=True)


def dwell_after(card: Card, history: HotHistory) -> CutDwell:
    """The dwell of a card's mould in that heat. Raises `OutOfRange` as `dwell_with_cuts` does."""
    return dwell_with_cuts(
        card,
        cuts=history.cuts,
        reads=dict(history.reads),
        platens=history.platens,
        points=dict(history.points),
    )
