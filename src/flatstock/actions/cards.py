"""Make a press card."""

from __future__ import annotations

from pathlib import Path

from flatstock.actions.workshops import open_workshop
from flatstock.pressing.card import CardAnswer, answer_card
from flatstock.pressing.questions import CardQuestion
from flatstock.workshop.shop import Order, Workshop

__all__ = ["CardAnswer", "CardQuestion", "card_of_order", "make_card"]


def make_card(shop: Path | Workshop, question: CardQuestion) -> CardAnswer:
    """One sheet on one press. Raises `Refused` with every reason where it must not or cannot be made."""
    return answer_card(open_workshop(shop), question)


def card_of_order(order: Order) -> CardQuestion:
    """What an order asks of the press, each sheet of it."""
    return CardQuestion(
        plastic=order.plastic,
        thickness=order.thickness,
        lots=order.lots,
        colour=order.colour,
        order=order.id,
    )
