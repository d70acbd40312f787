"""Workshops other than the demo: each gives a card that its schema takes, or a clear refusal."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta

import jsonschema
import pytest

from flatstock import schemas
from flatstock.actions.plans import cautions_of
from flatstock.errors import Refused
from flatstock.evidence import Value
from flatstock.pressing.card import answer_card, work_out
from flatstock.pressing.forecast import forecast
from flatstock.pressing.notes import card_warnings
from flatstock.pressing.questions import CardQuestion, StackQuestion
from flatstock.pressing.stack import answer_stack
from flatstock.pressing.wallchart import answer_wallchart
from flatstock.prints.numbers import with_band
from flatstock.workshop.shop import Film

from .conftest import MONDAY, framed, mould


def valid_card(shop, plastic="hdpe", mm=12.0, **words):
    document = answer_card(shop, CardQuestion(plastic=plastic, thickness=mm / 1e3, **words)).document
    jsonschema.validate(document, schemas.load("card"))
    json.dumps(document, allow_nan=False)
    return document


def minutes(document):
    return document["dwell_min"]["value"]


@pytest.fixture(scope="module")
def small(started):
    """What `new` writes when every question is answered with Enter."""
    return started()


@pytest.mark.parametrize("plastic", ["hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs"])
def test_a_new_workshop_gets_a_card_for_every_plastic_of_the_library_without_own_values(small, plastic):
    document = valid_card(small, plastic)
    assert 3 < minutes(document) < 60
    assert document["weigh"][0]["lot"] in (None, "EXAMPLE")


def test_a_new_workshop_gets_a_wall_chart(small):
    document = answer_wallchart(small, MONDAY).document
    jsonschema.validate(document, schemas.load("wallchart"))
    assert {row["thickness_mm"] for row in document["rows"]} == {6, 12}


@pytest.fixture(scope="module")
def aluminium(started):
    """700 x 700 x 25 mm aluminium platens, 4 kW, proportional control."""
    return started(
        platen_metal="aluminium", power=4000.0, edit={'control = "on_off"': 'control = "proportional"'}
    )


def test_aluminium_platens_with_4_kw_take_longer_than_steel_ones_with_6(small, aluminium):
    assert minutes(valid_card(aluminium)) > minutes(valid_card(small))


def test_platens_still_under_their_set_point_at_melt_through_are_warned_of(aluminium):
    warnings = valid_card(aluminium)["warnings"]
    assert any("still below the set-point" in warning for warning in warnings)


def with_one_side(shop, **changes):
    none = Value.sure(0.0, source="a test", unit="W")
    press = replace(shop.hot_presses["HP1"], power_top=none, **changes)
    return replace(shop, hot_presses={"HP1": press})


def test_one_sided_heating_takes_longer_and_is_warned_of(small):
    """With the unheated platen's back well insulated the core does get there."""
    insulated = Value.sure(0.2, source="a test", unit="W/m2K")
    four, question = framed(small, 4), CardQuestion(plastic="hdpe", thickness=0.004)
    one = work_out(with_one_side(four, back_film=insulated, loss=None), question)
    assert one.heating.dwell.value > 2 * work_out(four, question).heating.dwell.value
    assert any("One side of this press is not heated" in warning for warning in card_warnings(one))


@pytest.fixture(scope="module")
def at_its_limit(small):
    """3 mm heated from one side against a bare platen: half of the columns never get there."""
    return with_one_side(framed(small, 3))


def test_a_press_that_may_never_melt_the_sheet_is_refused_with_what_would(at_its_limit):
    with pytest.raises(Refused) as refused:
        valid_card(at_its_limit, mm=3)
    said = refused.value.faults[0].sentence()
    assert re.search(
        r"not sure to melt through in HP1, heated from below only: in [3-7]\d of 100 computed", said
    )
    assert "the same heaters in the other platen too (" in said
    assert "cut trial sheets open in the middle" in said


def test_such_a_sheet_has_no_dwell_on_the_chart_and_none_in_a_plan(at_its_limit):
    rows = answer_wallchart(at_its_limit, MONDAY).document["rows"]
    unsure = [row for row in rows if row["dwell_min"]["high"] is None]
    assert unsure
    assert {row["dwell_advised_min"] for row in unsure} == {None}
    card = work_out(at_its_limit, CardQuestion(plastic="hdpe", thickness=0.003))
    with pytest.raises(Refused, match="not sure to melt through"):
        forecast(at_its_limit, card, colour=None)


def test_a_dwell_that_the_shop_has_proven_there_is_advised_and_said_to_be_all_that_it_rests_on(at_its_limit):
    tried = replace(at_its_limit.practice, dwell={("hdpe", 0.003): 230 * 60.0})
    document = valid_card(replace(at_its_limit, practice=tried), mm=3)
    assert document["dwell_min"]["high"] is None
    assert document["dwell_advised_min"] == 230
    assert document["dwell_advised_rule"].startswith("this shop's practice")
    assert any("rests on this shop's practice alone" in warning for warning in document["warnings"])
    assert "to unknown)" in with_band(document["dwell_min"], "min")


def test_the_late_end_of_a_band_is_called_so_where_it_is_known(small):
    heating = work_out(framed(small, 3), CardQuestion(plastic="hdpe", thickness=0.003)).heating
    assert heating.never_melts == 0
    assert not heating.late_end_unknown


def test_one_sided_heating_that_takes_longer_than_the_face_is_assumed_to_bear_says_so_first(small):
    insulated = Value.sure(1.0, source="a test", unit="W/m2K")
    document = valid_card(with_one_side(framed(small, 3), back_film=insulated, loss=None), mm=3)
    assert document["dwell_min"]["value"] > document["dwell_latest_min"]["value"]
    assert "raw inside when its face has had enough" in document["warnings"][0]
    assert "heat both sides" in document["warnings"][0]


def test_one_sided_heating_that_cannot_melt_the_sheet_is_refused_with_what_would_melt_it(small):
    """What is offered melts it by the card's own run."""
    with pytest.raises(Refused) as refused:
        valid_card(with_one_side(small), mm=6)
    said = refused.value.faults[0].sentence()
    found = re.search(
        r"heated from below only: with platens at 190 °C its coldest point, at its upper face, levels off at (\d+) °C"
        r" and would need 165 °C.*the same heaters in the other platen too \((\d+) min\),"
        r".* a sheet of ([\d.]+) mm or less \(([\d.]+) (h|min)",
        said,
    )
    assert found is not None, said
    assert 100 < float(found[1]) < 165
    both = work_out(small, CardQuestion(plastic="hdpe", thickness=0.006)).heating
    assert both.dwell.value / 60 == pytest.approx(float(found[2]), abs=0.7)
    thin = float(found[3])
    one = work_out(
        with_one_side(framed(small, thin)), CardQuestion(plastic="hdpe", thickness=thin / 1e3)
    ).heating
    given = float(found[4]) * (60 if found[5] == "h" else 1)
    assert one.melt_history.time / 60 == pytest.approx(given, rel=0.1)


def test_heaters_that_cannot_hold_the_set_point_are_named_as_the_reason(started):
    shop = started(power=800.0)
    with pytest.raises(
        Refused, match=r"at full power 0.4 kW hold the lower platen at \d+ °C only and 0.4 kW hold"
    ):
        valid_card(shop, mm=12)


def test_a_sheet_that_melts_through_after_more_than_four_hours_is_refused_with_the_hours(small):
    with pytest.raises(
        Refused, match=r"is melted through after [\d.]+ h only, and a dwell is looked at for 4 h"
    ):
        valid_card(framed(small, 55), mm=55)


def test_a_workshop_without_a_cooling_press_has_no_cooling_times_and_says_so(started):
    document = valid_card(started(cooling_press=False))
    assert document["press_cool_min"] == [None, None, None]
    assert document["cooling_press"] is None
    assert any("no cooling press on file" in warning for warning in document["warnings"])
    assert document["steps"][-1]["do"].startswith("pressure off")


@pytest.fixture(scope="module")
def watered(shop):
    """The demo's workshop with water in its cooling press."""
    press = shop.cooling_presses["CP1"]
    water = Film(
        kind="water", film=Value(1000.0, 300.0, 3000.0, "assumed", "a test", "W/m2K"), temperature=15.0
    )
    wet = replace(press, film_bottom=water, film_top=water, fan_film=None, fans_on=False)
    return replace(shop, cooling_presses={"CP1": wet})


def test_water_cooled_plates_are_faster_than_still_air_and_let_no_mould_wait(shop, watered):
    cooled = valid_card(watered, every=2700.0)["press_cool_min"]
    still = valid_card(shop, every=2700.0, fans=False)["press_cool_min"]
    assert cooled[2] is not None
    assert cooled[1]["value"] < still[1]["value"]
    assert cooled[2]["value"] == pytest.approx(cooled[0]["value"], rel=0.1)


def told(document):
    return " ".join(caution["text"] for caution in document["cautions"])


def test_water_cooled_plates_bring_their_caution_with_them(shop, watered):
    assert "Water-cooled plates need a relief" in told(valid_card(watered))
    assert "Water-cooled" not in told(valid_card(shop))


def test_a_stack_between_water_cooled_plates_carries_their_caution(watered):
    question = StackQuestion(moulds=(mould(),), at=MONDAY + timedelta(hours=8), place="CP1")
    assert "Water-cooled plates need a relief" in told(answer_stack(watered, question).document)


def test_every_card_says_that_water_never_goes_on_a_hot_mould(shop):
    assert "Never put water on a hot mould" in told(valid_card(shop))


def test_a_plan_says_that_water_never_goes_on_a_hot_mould_and_what_cooling_with_it_needs(shop, watered):
    plain, wet = ({"cautions": cautions_of(one)} for one in (shop, watered))
    assert "Never put water on a hot mould" in told(plain)
    assert "Water-cooled" not in told(plain)
    assert "Water-cooled plates need a relief" in told(wet)


def test_a_charge_with_water_in_it_carries_the_caution_on_steam(shop):
    """L-2301 holds 0.08 % water; of L-2305 nobody says that it holds any."""
    steam = "turns to many litres of steam"
    assert steam in told(valid_card(shop, lots={"L-2301": 1.0}))
    assert steam not in told(valid_card(shop, plastic="hips", mm=6, lots={"L-2305": 1.0}))


@pytest.fixture(scope="module")
def inches(started):
    """A shop in inches, pounds and °F."""
    return started(
        units="us", room=21.1, platen_length=0.6096, platen_width=0.6096, platen_thickness=0.0254,
        cavity_length=0.508, cavity_width=0.508, frame_land=0.0254, frame_thicknesses=(0.00635, 0.0127),
        power=5000.0,
    )  # fmt: skip


def test_a_workshop_written_in_inches_is_read_back_and_gets_the_same_card_as_one_in_millimetres(
    inches, started
):
    metric = started(
        units="metric", room=21.1, platen_length=0.6096, platen_width=0.6096, platen_thickness=0.0254,
        cavity_length=0.508, cavity_width=0.508, frame_land=0.0254, frame_thicknesses=(0.00635, 0.0127),
        power=5000.0,
    )  # fmt: skip
    ours, theirs = (valid_card(shop, mm=12.7) for shop in (inches, metric))
    assert inches.units_shown == "us"
    assert ours["frame"] == theirs["frame"] == "F2-1"
    for field in ("net_charge_kg", "dwell_min", "hot_level_mm", "energy_kWh"):
        assert ours[field]["value"] == pytest.approx(theirs[field]["value"], rel=1e-3)


def test_half_inch_and_12_7_mm_are_one_sheet(inches):
    assert valid_card(inches, mm=0.5 * 25.4) == valid_card(inches, mm=12.7)


def test_a_frame_measured_in_inches_is_found_for_the_sheet_it_was_made_for(started):
    """The usual frames of 6 and 12 mm written in inches are 0.2362 and 0.4724 in."""
    assert valid_card(started(units="us"), mm=12)["frame"] == "F2-1"


def test_a_bare_plate_press_with_thin_platens_recovers_slower(started):
    thin = valid_card(started(platen_thickness=0.010))
    thick = valid_card(started(platen_thickness=0.040))
    assert thin["platen_dip_C"]["value"] > thick["platen_dip_C"]["value"]
