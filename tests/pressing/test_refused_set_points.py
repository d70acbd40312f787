"""Set-points and dwells that are refused: over a limit, too cool to melt, or spending the face before the core melts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.errors import UserError
from flatstock.pressing.card import answer_card
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import plastics_of

from .conftest import framed
from .doors import (
    pressing_alone,
    rows_of,
)

# Set-points


@pytest.mark.parametrize(
    ("plastic", "over"), [("hdpe", 221.0), ("pp", 241.0), ("hips", 231.0), ("abs", 251.0), ("ldpe", 211.0)]
)
def test_a_set_point_over_the_plastic_s_highest_is_refused(shop, refusal, plastic, over):
    hot = replace(shop, hot_presses={"HP1": replace(shop.hot_presses["HP1"], highest_platen=None)}, lots={})
    said = refusal(hot, plastic=plastic, set_point=over)
    assert f"set-point {over:g} °C is above" in said
    assert "nothing overrides it" in said


def test_no_file_of_the_shop_lifts_a_plastic_s_highest_set_point(shop):
    own = {"hdpe": dict(shop.plastic_overrides["hdpe"]) | {"highest_set_point_C": 300.0}}
    with pytest.raises(UserError, match="the highest set-point of 220 °C cannot be replaced"):
        answer_card(
            replace(shop, plastic_overrides=own),
            CardQuestion(plastic="hdpe", thickness=0.012, set_point=250.0),
        )


def test_a_set_point_of_the_shop_s_own_over_the_highest_is_refused(shop):
    own = {"hdpe": dict(shop.plastic_overrides["hdpe"]) | {"set_point_C": 225.0}}
    with pytest.raises(UserError, match="220"):
        answer_card(replace(shop, plastic_overrides=own), CardQuestion(plastic="hdpe", thickness=0.012))


def test_no_row_of_the_wall_chart_is_over_a_highest_set_point(chart, shop):
    known = plastics_of(shop)
    for row in chart["rows"]:
        assert row["set_point_C"] <= known[row["plastic"]].process.highest_set_point.value


def test_a_set_point_over_the_press_s_cut_out_is_refused(shop, refusal):
    cut_out = replace(shop.hot_presses["HP1"], highest_platen=190.0)
    assert "above the over-temperature cut-out of HP1, 190 °C" in refusal(
        replace(shop, hot_presses={"HP1": cut_out})
    )


def test_no_row_of_the_wall_chart_is_over_the_press_s_cut_out(shop):
    cut_out = replace(shop.hot_presses["HP1"], highest_platen=190.0)
    one = pressing_alone(replace(shop, hot_presses={"HP1": cut_out}), "hdpe")
    assert max(row["set_point_C"] for row in rows_of(one)) <= 190.0


def test_a_set_point_under_which_the_core_never_melts_is_refused_with_one_that_would_do(refusal):
    said = refusal(set_point=166.0)
    assert "the core never reaches 165 °C" in said
    assert "at least 168 °C" in said


# No dwell that serves core and face


@pytest.fixture
def trialled(shop):
    """What PP's face bears was found out in trials here, where nobody has had a practice for it."""
    dwell = {what: seconds for what, seconds in shop.practice.dwell.items() if what[0] != "pp"}
    own = dict(shop.plastic_overrides["pp"]) | {"face_allowance_min": {"value": 25.0, "kind": "measured"}}
    return replace(
        shop,
        plastic_overrides={**shop.plastic_overrides, "pp": own},
        practice=replace(shop.practice, dwell=dwell),
    )


def test_a_sheet_whose_face_is_spent_before_its_core_melts_is_refused_with_ways_out(trialled, refusal):
    said = refusal(trialled, plastic="pp", thickness=0.018)
    assert "PP 18 mm at 210 °C is raw inside when its face has had enough" in said
    assert "press 12 mm" in said
    assert "face_allowance_min under [pp] in plastics.toml" in said


def test_what_a_face_is_only_assumed_to_bear_is_told_first_and_refuses_nothing(shop):
    card = answer_card(shop, CardQuestion(plastic="pp", thickness=0.018)).document
    assert card["warnings"][0].startswith("By what faces are assumed to bear, PP 18 mm at 210 °C")
    assert card["dwell_min"]["value"] > card["dwell_latest_min"]["low"]


def test_a_cooler_set_point_is_offered_where_it_leaves_a_window(trialled, refusal):
    thick = framed(trialled, 15)
    said = refusal(thick, plastic="pp", thickness=0.015)
    offered = float(said.split("lower the set-point to ")[1].split(" °C")[0])
    card = answer_card(thick, CardQuestion(plastic="pp", thickness=0.015, set_point=offered)).document
    assert card["dwell_min"]["value"] < card["dwell_latest_min"]["value"]


def test_full_pressure_that_outlasts_the_face_is_refused_with_how_long_it_may_last(refusal):
    said = refusal(full_pressure_time=3600.0)
    assert said.startswith("--full-pressure: 60 min of it after melting through at 13 min")
    assert "ask for 31 min at most" in said


def test_the_longest_full_pressure_that_a_refusal_names_is_answered(card):
    document = card(full_pressure_time=31 * 60.0)
    assert document["dwell_advised_min"] <= document["dwell_latest_min"]["low"]


def test_full_pressure_under_the_contact_pressure_is_refused(refusal):
    assert "less than the contact pressure before it, 0.03 MPa" in refusal(pressure=1000.0)
