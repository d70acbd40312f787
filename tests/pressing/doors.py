"""The doors to a charge: card, stack, wall chart and correction, each asked for one plastic of the demo."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from flatstock.pressing.card import answer_card
from flatstock.pressing.correct import answer_correct
from flatstock.pressing.questions import CardQuestion, CorrectQuestion, StackQuestion
from flatstock.pressing.stack import answer_stack
from flatstock.pressing.wallchart import answer_wallchart

from .conftest import MONDAY, mould


def sentences(refused):
    return "\n".join(fault.sentence() for fault in refused.value.faults)


def by_card(shop, plastic):
    answer_card(shop, CardQuestion(plastic=plastic, thickness=0.012))


def by_stack(shop, plastic):
    at = MONDAY + timedelta(hours=25)
    answer_stack(shop, StackQuestion(moulds=(mould(plastic, core=160.0),), at=at))


def by_stack_from_the_card(shop, plastic):
    at = MONDAY + timedelta(hours=25)
    answer_stack(shop, StackQuestion(moulds=(mould(plastic, core=None),), at=at))


def by_correction(shop, plastic):
    answer_correct(shop, CorrectQuestion(plastic=plastic, thickness=0.012, charge=12.0, measured=0.012))


DOORS = [by_card, by_stack, by_stack_from_the_card, by_correction]


def rows_of(shop):
    return answer_wallchart(shop, MONDAY).document["rows"]


def pressing_alone(shop, plastic, **values):
    """The demo with one plastic in stock, and own values of it."""
    lot = replace(shop.lots["L-2301"], plastic=plastic, strangers={})
    overrides = {plastic: values} if values else {}
    return replace(shop, lots={"L-2301": lot}, orders={}, plastic_overrides=overrides)
