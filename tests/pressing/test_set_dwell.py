"""The dwell that a clock is set to: the picture ends where the steps and the large digits say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from flatstock.pressing.card import Card, document_of, work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.prints.card_words import CardWords
from flatstock.workshop.shop import Workshop


@pytest.mark.parametrize("thickness", [0.006, 0.012, 0.018])
@pytest.mark.parametrize("point", [185.0, 195.0, 205.0])
def test_picture_and_steps_have_the_dwell_that_is_said(
    shop: Workshop, thickness: float, point: float
) -> None:
    unproven = replace(shop, practice=replace(shop.practice, dwell={}))
    card = work_out(unproven, CardQuestion(plastic="hdpe", thickness=thickness, set_point=point))
    words = CardWords(document_of(card), "metric")
    (transfer,) = [one for one in card.picture().moments if one.label.startswith("transfer")]
    assert f"{transfer.time / 60:g}" == words.clock[0]
    assert words.clock[0] in words.times


def test_a_dwell_is_never_set_to_less_than_is_advised(working: Callable[..., Card]) -> None:
    for thickness in (0.006, 0.012, 0.018):
        card = working(thickness=thickness)
        assert 0 <= card.set_dwell - card.advised[0] < 60
