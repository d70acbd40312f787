"""A lot that is dried before use: the card and the plan say so."""

from __future__ import annotations

from dataclasses import replace

from flatstock.plastics.library import library
from flatstock.pressing.card import work_out
from flatstock.pressing.drying import drying_notes, how_to_dry
from flatstock.pressing.forecast import forecast
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import set_out


def dried(shop, name):
    return replace(shop, lots={**shop.lots, name: replace(shop.lots[name], dry_first=True)})


def test_a_card_from_a_lot_that_is_dried_before_use_says_so_with_hours_and_temperature(shop):
    found = set_out(dried(shop, "L-2304"), plastic="pp", thickness=0.006, lots={"L-2304": 1.0}).warnings
    (said,) = [one for one in found if one.startswith("Dry L-2304")]
    assert "1.5 h at 66 °C" in said
    assert "no more than 0.1 % water" in said


def test_any_other_lot_says_nothing_of_drying(shop):
    found = set_out(shop, plastic="pp", thickness=0.006, lots={"L-2304": 1.0}).warnings
    assert not [one for one in found if one.startswith("Dry ")]


def test_a_plastic_without_drying_data_takes_the_usual_trial(shop):
    process = replace(library()["pp"].process, drying_time=None)
    assert "common practice, no source" in how_to_dry(process)
    lots = dried(shop, "L-2304").lots.values()
    assert len(drying_notes(process, lots)) == 1


def test_a_plan_passes_on_that_a_lot_is_dried(shop):
    card = work_out(dried(shop, "L-2304"), CardQuestion(plastic="pp", thickness=0.006, lots={"L-2304": 1.0}))
    said = forecast(shop, card, colour=None).warnings
    assert any(one.startswith("Dry L-2304") for one in said)
