"""Make a press card."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from pathlib import Path

from flatstock.actions.workshops import open_workshop
from flatstock.pressing.card import Card, CardAnswer, answer_card, answer_of, work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.workshop.shop import Order, Workshop

__all__ = ["CardAnswer", "CardBegun", "CardQuestion", "begin_card", "card_of_order", "make_card"]


@dataclass(frozen=True, slots=True)
class CardBegun:
    """A card whose lots are chosen and hold enough, and of which nothing of the heat is worked out yet."""

    card: Card

    @property
    def rests_on(self) -> Hashable:
        """What the answer depends on of the shop's lots: which it takes, what is known of them, what was found of them.

        Not what they hold, nor a status: both were looked at when it was begun, and the answer has neither.
        """
        stock = self.card.setting.stock
        plain = [(replace(lot, mass=0.0, status="released"), share) for lot, share in stock]
        return repr((plain, self.card.setting.warnings))

    def answer(self) -> CardAnswer:
        """The card, worked out. Raises `Refused` where the dwell has no window."""
        return answer_of(self.card)


def make_card(shop: Path | Workshop, question: CardQuestion) -> CardAnswer:
    """One sheet on one press. Raises `Refused` with every reason where it must not or cannot be made."""
    return answer_card(open_workshop(shop), question)


def begin_card(shop: Workshop, question: CardQuestion) -> CardBegun:
    """The quick part of `make_card`. Raises `Refused` as it does, but for what the heat forbids."""
    return CardBegun(work_out(shop, question))


def card_of_order(order: Order) -> CardQuestion:
    """What an order asks of the press, each sheet of it."""
    return CardQuestion(
        plastic=order.plastic,
        thickness=order.thickness,
        lots=order.lots,
        colour=order.colour,
        order=order.id,
    )
