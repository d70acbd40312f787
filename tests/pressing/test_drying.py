"""A lot that is dried before use: the card and the plan say so."""

from __future__ import annotations

from dataclasses import replace

import pytest

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
    lots = [dried(shop, "L-2304").lots["L-2304"]]
    assert len(drying_notes("pp", process, lots)) == 1


def test_a_plan_passes_on_that_a_lot_is_dried(shop):
    card = work_out(dried(shop, "L-2304"), CardQuestion(plastic="pp", thickness=0.006, lots={"L-2304": 1.0}))
    said = forecast(shop, card, colour=None).warnings
    assert any(one.startswith("Dry L-2304") for one in said)


@pytest.mark.parametrize(
    ("plastic", "moisture", "said"),
    [
        ("abs", 0.002, "Dry X before it is weighed, 3 h at 85 °C: it holds 0.2 % water, and ABS over 0.1 %"),
        (
            "abs",
            None,
            "ABS takes up water from the air, and nobody has measured that of X: dry it before it is weighed",
        ),
        ("hdpe", 0.002, "Dry X before it is weighed, "),
    ],
)
def test_a_lot_with_more_water_than_its_plastic_bears_is_dried_first(shop, plastic, moisture, said):
    """Between a plastic's own limit and the water at which a charge is refused; ABS: unmeasured counts as wet."""
    lot = replace(next(iter(shop.lots.values())), id="X", moisture=moisture, dry_first=False)
    (note,) = drying_notes(plastic, library()[plastic].process, [lot])
    assert note.startswith(said)


@pytest.mark.parametrize(("plastic", "moisture"), [("abs", 0.001), ("hdpe", 0.0005), ("hdpe", None)])
def test_a_lot_that_is_dry_enough_is_not_talked_about(shop, plastic, moisture):
    lot = replace(next(iter(shop.lots.values())), id="X", moisture=moisture, dry_first=False)
    assert drying_notes(plastic, library()[plastic].process, [lot]) == []
