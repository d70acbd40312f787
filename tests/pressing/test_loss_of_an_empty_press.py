"""What a press loses when empty, as measured, against what its rims and edges lose by their films."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.evidence import Value
from flatstock.pressing.card import answer_card, work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rig import back_film, rim_and_edge_loss

QUESTION = CardQuestion(plastic="hdpe", thickness=0.012)


def losing(shop, loss):
    """The demo with a press that loses so much [W/K]."""
    press = replace(shop.hot_presses["HP1"], loss=Value.sure(loss, unit="W/K"))
    return replace(shop, hot_presses={"HP1": press})


def said(document):
    return [one for one in document["warnings"] if "loss_W_K" in one]


def test_a_loss_below_that_of_rims_and_edges_is_said_with_what_is_reckoned_with(shop):
    """By hand: rims 10 W/m2K on 2 (1.35 · 0.95 - 1.25 · 0.84) m2, edges 10 W/m2K on a rim of 4.18 m, 2 x 20 mm high."""
    least = 10 * 2 * (1.35 * 0.95 - 1.25 * 0.84) + 10 * 4.18 * 0.040
    press, mould = shop.hot_presses["HP1"], work_out(shop, QUESTION).setting.mould
    assert rim_and_edge_loss(press, mould) == pytest.approx(least, rel=1e-9)
    document = answer_card(losing(shop, 0.8 * least), QUESTION).document
    (warning,) = said(document)
    assert f"reckoned with {least:.3g} W/K, and nothing lost through its backs" in warning
    assert back_film(losing(shop, 0.8 * least).hot_presses["HP1"], mould).value == 0.0


def test_a_loss_above_that_is_taken_as_it_is(shop, card):
    assert said(card()) == []
    least = rim_and_edge_loss(shop.hot_presses["HP1"], work_out(shop, QUESTION).setting.mould)
    assert said(answer_card(losing(shop, 1.01 * least), QUESTION).document) == []
