"""What doesn't fit together: thickness, numbers, names, frames, skins, shares."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from flatstock.pressing.card import answer_card
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import set_out

from .conftest import framed


@pytest.mark.parametrize("mm", [0.0, -3.0, 0.4, 101.0, float("nan"), float("inf")])
def test_what_is_no_thickness_is_refused(refusal, mm):
    assert "no thickness for a pressed sheet" in refusal(thickness=mm / 1e3)


@pytest.mark.parametrize(
    ("words", "piece"),
    [
        ({"set_point": float("nan")}, "--set-point"), ({"viscosity": 0.0}, "--viscosity"),
        ({"viscosity": -1.0}, "--viscosity"), ({"full_pressure_time": -5.0}, "--full-pressure"),
        ({"pressure": 0.0}, "--pressure"), ({"pressure": -1.0}, "--pressure"), ({"every": 0.0}, "--every"),
        ({"every": float("inf")}, "--every"),
    ],
)  # fmt: skip
def test_numbers_that_no_press_can_have_are_refused_by_name(refusal, words, piece):
    assert refusal(**words).startswith(piece)


def test_every_impossible_number_is_refused_at_once(refusal):
    assert len(refusal(viscosity=0.0, every=0.0, pressure=-1.0).splitlines()) == 3


def test_pressure_over_what_the_press_is_rated_for_is_refused(refusal):
    said = refusal(pressure=0.30e6)
    assert "0.3 MPa on 1.05 m2 is more than HP1 is rated for, 0.286 MPa" in said
    assert "relief valve is never set higher" in said


def test_the_relief_counts_where_it_allows_less_than_the_rated_force(shop, refusal):
    press = shop.hot_presses["HP1"]
    low = replace(press, cylinder=replace(press.cylinder, gauge_max=100e5))
    assert "is rated for, 0.147 MPa" in refusal(replace(shop, hot_presses={"HP1": low}), pressure=0.25e6)


def test_the_rated_force_counts_where_the_bore_is_not_on_file(shop, refusal):
    press = shop.hot_presses["HP1"]
    plain = replace(
        shop, hot_presses={"HP1": replace(press, cylinder=replace(press.cylinder, piston_diameter=None))}
    )
    assert "is rated for, 0.286 MPa" in refusal(plain, pressure=0.30e6)
    document = answer_card(plain, CardQuestion(plastic="hdpe", thickness=0.012)).document
    assert {step["gauge_bar"] for step in document["steps"][:3]} == {None}


def test_a_press_without_a_rated_force_says_that_pressure_is_not_checked(shop):
    plain = replace(shop, hot_presses={"HP1": replace(shop.hot_presses["HP1"], cylinder=None)})
    document = answer_card(plain, CardQuestion(plastic="hdpe", thickness=0.012, pressure=0.25e6)).document
    assert any("rated force of HP1 is not on file" in warning for warning in document["warnings"])


@pytest.mark.parametrize(
    ("words", "near"),
    [({"press": "HP9"}, "HP1"), ({"frame": "F12-9"}, "F12-1"), ({"lots": {"L-2399": 1.0}}, "L-2309")],
)
def test_an_unknown_name_is_refused_with_the_nearest_known(refusal, words, near):
    assert near in refusal(**words)


def test_names_are_known_in_any_case(card):
    assert card(frame="f12-2")["frame"] == "F12-2"


def test_a_frame_larger_than_the_platens_is_refused(shop, refusal):
    frame = replace(shop.frames["F12-1"], outside_length=1.400)
    assert "(1400 x 920 mm outside) is larger than the platens of HP1, 1350 x 950 mm" in refusal(
        replace(shop, frames={"F12-1": frame})
    )


def test_a_frame_that_fits_when_turned_is_not_refused(shop):
    frame = replace(
        shop.frames["F12-1"],
        cavity_length=0.840,
        cavity_width=1.250,
        outside_length=0.920,
        outside_width=1.330,
    )
    skin = replace(shop.skins["S01-02"], length=0.940, width=1.350)
    turned = replace(shop, frames={"F12-1": frame}, skins={"S01-02": skin})
    assert answer_card(turned, CardQuestion(plastic="hdpe", thickness=0.012)).document["frame"] == "F12-1"


def test_skins_that_do_not_cover_the_frame_are_refused(shop, refusal):
    small = replace(shop.skins["S01-02"], length=1.2)
    assert "covers frame F12" in refusal(replace(shop, skins={"S01-02": small}))


@pytest.mark.parametrize(
    ("lots", "piece"),
    [
        ({"L-2301": 0.5}, "the shares sum to 0.5"), ({"L-2301": 0.8, "L-2302": 0.8}, "the shares sum to 1.6"),
        ({"L-2301": -1.0, "L-2302": 2.0}, "not between 0 and 1"), ({"L-2301": float("nan")}, "not between 0 and 1"),
    ],
)  # fmt: skip
def test_shares_that_do_not_make_a_whole_are_refused(refusal, lots, piece):
    assert piece in refusal(lots=lots)


def test_a_sheet_too_thick_to_melt_through_is_refused_with_what_its_core_reaches(shop, refusal):
    said = refusal(framed(shop, 100), thickness=0.1)
    assert re.search(r"coldest point, in its middle, levels off at \d+ °C and would need 165 °C", said)
    assert "a sheet of 53 mm or less" in said


@pytest.mark.parametrize(
    ("frame", "piece"), [("F18-1", "6 mm thicker than the sheet"), ("F06-1", "6 mm thinner than the sheet")]
)
def test_a_frame_that_does_not_fit_the_sheet_is_refused_with_those_that_do(refusal, frame, piece):
    said = refusal(frame=frame)
    assert said.startswith(f"--frame: frame {frame} is {piece}")
    assert "write --frame F12-1, F12-2 or F12-3" in said


@pytest.mark.parametrize("mm", [5.9, 6.8, 10.0, 11.9, 20.0])
def test_a_thickness_that_no_frame_makes_is_refused_with_those_that_they_make(refusal, mm):
    said = refusal(thickness=mm / 1e3)
    assert f"no frame of this workshop makes {mm:g} mm" in said
    assert "ask for 6 to 6.75 mm, 12 to 12.75 mm or 18 to 18.75 mm" in said


@pytest.mark.parametrize("mm", [6.0, 6.35, 6.75, 12.7, 11.96])
def test_a_frame_up_to_three_quarters_of_a_millimetre_thinner_than_the_sheet_fits(shop, mm):
    assert set_out(shop, plastic="hdpe", thickness=mm / 1e3).mould.frame.id in ("F06-1", "F12-1")


def test_the_frame_that_lies_on_the_platens_is_chosen_before_a_larger_one(shop):
    large = replace(shop.frames["F12-1"], id="BIG", outside_length=1.6)
    both = replace(shop, frames={"BIG": large, "F12-1": shop.frames["F12-1"]})
    assert set_out(both, plastic="hdpe", thickness=0.012).mould.frame.id == "F12-1"
