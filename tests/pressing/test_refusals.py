"""What is refused, through every door: card, stack, wall chart, and correction where it applies."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.errors import Refused, UserError
from flatstock.pressing.card import answer_card
from flatstock.pressing.questions import CardQuestion

from .doors import (
    DOORS,
    pressing_alone,
    rows_of,
)

# Never pressed


@pytest.mark.parametrize("door", DOORS)
@pytest.mark.parametrize("plastic", ["pet", "PA6", "pc", "PVC", "ptfe", "POM", "pvc-u"])
def test_what_is_never_pressed_is_refused_with_its_reason_by_every_door(shop, door, plastic):
    with pytest.raises(Refused, match="never pressed: "):
        door(shop, plastic)


@pytest.mark.parametrize("door", DOORS)
def test_a_plastic_that_nobody_knows_is_refused_by_every_door_with_the_nearest_name(shop, door):
    with pytest.raises(Refused, match=r"no plastic 'hdpx' is on file \(nearest: hdpe"):
        door(shop, "hdpx")


def test_what_is_never_pressed_gets_no_row_on_the_wall_chart_even_with_a_lot_of_it(shop):
    one = pressing_alone(shop, "hips")
    strange = {f"L-{p}": replace(shop.lots["L-2301"], id=f"L-{p}", plastic=p) for p in ("pet", "pa6", "pc")}
    assert {row["plastic"] for row in rows_of(replace(one, lots=one.lots | strange))} == {"hips"}


def test_own_values_do_not_make_pet_pressable(shop, refusal):
    own = replace(shop, plastic_overrides={"pet": {"set_point_C": 190.0, "density_kg_m3": 1340.0}})
    assert "never pressed" in refusal(own, plastic="pet")


@pytest.mark.parametrize("stranger", ["pvc", "ptfe", "pom"])
def test_a_lot_that_holds_what_no_charge_may_hold_is_refused(with_lots, refusal, stranger):
    shop = with_lots({"L-2301": {"strangers": {stranger: 1e-4}}})
    assert "which no charge may hold" in refusal(shop, lots={"L-2301": 1.0})


def test_a_foamed_lot_is_refused(with_lots, refusal):
    assert "never pressed" in refusal(with_lots({"L-2301": {"form": "foam"}}))


# Own plastics


OWN = {
    "name": "sample copolymer", "family": "polyolefin", "symbol": "PE-X1", "base": "hdpe",
    "highest_set_point_C": 215.0, "fume": "as polyethylene; extract", "density_kg_m3": 940.0,
}  # fmt: skip


def test_a_plastic_of_one_s_own_with_a_highest_set_point_and_a_fume_line_gets_a_card(shop):
    document = answer_card(
        pressing_alone(shop, "mycopo", **OWN), CardQuestion(plastic="mycopo", thickness=0.012)
    ).document
    assert document["plastic"] == "mycopo"
    assert document["net_charge_kg"]["value"] < 11.4491


@pytest.mark.parametrize("missing", ["highest_set_point_C", "fume"])
@pytest.mark.parametrize("door", DOORS)
def test_a_plastic_of_one_s_own_without_them_is_refused_by_every_door(shop, door, missing):
    values = {key: value for key, value in OWN.items() if key != missing}
    with pytest.raises(UserError, match=missing):
        door(pressing_alone(shop, "mycopo", **values), "mycopo")


# Data that are not there


@pytest.mark.parametrize(("plastic", "lacks"), [("pla", "melt_target_C"), ("pp_copolymer", "melt_cp_J_kgK")])
@pytest.mark.parametrize("door", DOORS)
def test_missing_data_are_named_by_every_door(shop, door, plastic, lacks):
    with pytest.raises(Refused, match=f"needs data that are not on file.*{lacks}"):
        door(shop, plastic)


SUPPLIED = {
    "density_kg_m3": 900.0, "melt_density_kg_m3": 750.0, "shrinkage_percent": 1.6, "solid_cp_J_kgK": 1900.0,
    "melt_cp_J_kgK": 2600.0, "latent_J_kg": 80000.0, "latent_at_C": 160.0, "melting_onset_C": 140.0,
    "melting_end_C": 166.0, "freezing_onset_C": 122.0, "freezing_end_C": 105.0, "solid_k_W_mK": 0.19,
    "melt_k_W_mK": 0.17, "set_point_C": 210.0, "melt_target_C": 185.0, "open_below_C": 90.0,
    "demould_below_C": 45.0, "contact_pressure_MPa": 0.03, "full_pressure_MPa": 0.25, "face_allowance_min": 20.0,
    "face_limit_C": 235.0,
}  # fmt: skip


def test_once_a_workshop_supplies_them_there_is_a_card(shop):
    own = pressing_alone(shop, "pp_copolymer", **SUPPLIED)
    document = answer_card(own, CardQuestion(plastic="pp_copolymer", thickness=0.012)).document
    assert document["net_charge_kg"]["value"] == pytest.approx(
        900 * 1.05 * (1 - 0.016) ** 2 * 0.012, rel=1e-4
    )
    assert document["dwell_min"]["value"] > 5


def test_pla_gets_a_card_too_once_a_workshop_supplies_its_data(shop):
    pla = SUPPLIED | {
        "density_kg_m3": 1245.0, "melt_density_kg_m3": 1090.0, "shrinkage_percent": 0.4, "latent_J_kg": 25000.0,
        "latent_at_C": 158.0, "melting_onset_C": 140.0, "melting_end_C": 170.0, "freezing_onset_C": 115.0,
        "freezing_end_C": 95.0, "set_point_C": 185.0, "melt_target_C": 175.0, "open_below_C": 50.0,
        "demould_below_C": 45.0, "face_limit_C": 210.0,
    }  # fmt: skip
    document = answer_card(
        pressing_alone(shop, "pla", **pla), CardQuestion(plastic="pla", thickness=0.006)
    ).document
    assert document["plastic"] == "pla"
    assert document["dwell_min"]["value"] > 2
