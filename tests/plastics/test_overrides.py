"""A workshop's own values: taken, shown as theirs, refused with the band."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import UserError
from flatstock.plastics import library, override_faults, with_overrides
from flatstock.plastics.bands import band
from flatstock.plastics.datafile import SI
from flatstock.plastics.heat_capacity import melt_cp, solid_cp
from flatstock.plastics.override_keys import KEYS, SOURCE

#: what a workshop would measure or decide to fill the gaps of a plastic that has none of it on file
CARD = {
    "melt_density_kg_m3": 750, "solid_cp_J_kgK": 1900, "melt_cp_J_kgK": 2600, "latent_J_kg": 80_000, "latent_at_C": 150,
    "melting_onset_C": 130, "melting_end_C": 165, "freezing_onset_C": 120, "freezing_end_C": 105, "solid_k_W_mK": 0.2,
    "melt_k_W_mK": 0.18, "set_point_C": 205, "melt_target_C": 180, "open_below_C": 90, "demould_below_C": 45,
    "contact_pressure_MPa": 0.03, "full_pressure_MPa": 0.25, "face_allowance_min": 25, "face_limit_C": 230,
}  # fmt: skip
NEW = {
    "highest_set_point_C": 215,
    "fume": "methyl methacrylate",
    "density_kg_m3": 1190,
    "shrinkage_percent": 0.5,
}


def own(plastic: str, **table):
    return with_overrides(library(), {plastic: table})[plastic]


def said(plastic: str, **table) -> str:
    return " | ".join(fault.sentence() for fault in override_faults(library(), {plastic: table}))


def test_a_bare_number_is_the_workshops_own_measurement():
    density = own("hdpe", density_kg_m3=950).density
    assert (density.value, density.low, density.high) == (950, 950, 950)
    assert (density.kind, density.source) == ("measured", SOURCE)


def test_a_list_is_low_typical_and_high():
    melt_k = own("hdpe", melt_k_W_mK=[0.24, 0.25, 0.27]).thermal.melt_k_180
    assert (melt_k.low, melt_k.value, melt_k.high) == (0.24, 0.25, 0.27)


def test_a_table_may_say_its_kind_and_source_and_is_still_theirs():
    entry = {"value": 0.25, "low": 0.24, "high": 0.26, "kind": "fitted", "source": "trial of 2 March"}
    melt_k = own("hdpe", melt_k_W_mK=entry).thermal.melt_k_180
    assert (melt_k.kind, melt_k.source) == ("fitted", f"trial of 2 March ({SOURCE})")


def test_a_source_that_is_the_workshops_file_is_named_once():
    entry = {"value": 0.25, "source": SOURCE}
    assert own("hdpe", melt_k_W_mK=entry).thermal.melt_k_180.source == SOURCE


def test_what_is_not_overridden_stays_as_on_file():
    before, after = library()["hdpe"], own("hdpe", density_kg_m3=950)
    assert after.thermal.latent == before.thermal.latent
    assert after.process == before.process
    assert library()["pp"] == with_overrides(library(), {"hdpe": {"density_kg_m3": 950}})["pp"]


def test_the_library_itself_never_changes():
    own("hdpe", density_kg_m3=950)
    assert library()["hdpe"].density.value == 955


def test_a_melt_density_holds_at_the_set_point_on_file_and_keeps_the_slope():
    after = own("hdpe", melt_density_kg_m3=[750, 760, 770], set_point_C=195)
    at = after.melt_density_at(195)
    assert (at.low, at.value, at.high) == (pytest.approx(750), pytest.approx(760), pytest.approx(770))
    assert at.kind == "measured"
    assert after.thermal.melt_volume_slope == library()["hdpe"].thermal.melt_volume_slope
    assert after.thermal.melt_volume_180.value == pytest.approx(
        1 / 760 - 15 * after.thermal.melt_volume_slope.value
    )


def test_a_melt_density_without_a_set_point_of_its_own_holds_at_the_librarys():
    assert own("hdpe", melt_density_kg_m3=760).melt_density_at(190).value == pytest.approx(760)


def test_an_overridden_melt_is_still_squeezed_by_pressure():
    after = own("hdpe", melt_density_kg_m3=760)
    assert after.melt_density_at(190, 5e6).value == pytest.approx(760 * 1.0058, rel=1e-4)


def test_constant_heat_capacities_have_no_slope_unless_one_is_given():
    flat = own("hdpe", solid_cp_J_kgK=2250, melt_cp_J_kgK=2500).thermal
    assert solid_cp(flat, 100) == solid_cp(flat, 23) == 2250
    assert melt_cp(flat, 150) == melt_cp(flat, 200) == 2500
    sloped = own("hdpe", solid_cp_J_kgK=1800, solid_cp_slope_J_kgK2=4).thermal
    assert solid_cp(sloped, 123) == 2200


def test_a_solid_conductivity_keeps_the_shape_over_temperature():
    before, after = library()["hdpe"].thermal, own("hdpe", solid_k_W_mK=0.40).thermal
    ratio = after.solid_k_slope.value / before.solid_k_slope.value
    assert ratio == pytest.approx(0.40 / before.solid_k_23.value)


def test_the_bulk_density_of_the_clamped_bed_sets_its_void():
    void = own("hdpe", density_kg_m3=950, bed_bulk_density_kg_m3=[400, 475, 570]).thermal.bed_void
    assert (void.low, void.value, void.high) == (
        pytest.approx(0.4),
        pytest.approx(0.5),
        pytest.approx(1 - 400 / 950),
    )


def test_a_viscosity_of_the_workshop_replaces_every_curve():
    eta = own("hdpe", viscosity_kPas=[5, 10, 20]).viscosity.at(195, mfr=8)
    assert (eta.low, eta.value, eta.high, eta.source) == (5e3, 10e3, 20e3, SOURCE)


def test_the_thermal_values_of_a_whole_shop_are_taken():
    """The project's job map, section 4.9: the HDPE of its worked cooling cases."""
    table = {
        "density_kg_m3": 950, "solid_cp_J_kgK": 2250, "melt_cp_J_kgK": 2500, "latent_J_kg": 180_000, "melting_onset_C": 115,
        "melting_end_C": 133, "freezing_end_C": 108, "freezing_onset_C": 120, "melt_k_W_mK": 0.25, "bed_k_W_mK": 0.10,
    }  # fmt: skip
    after = own("hdpe", **table)
    assert after.thermal.latent.value == 180_000
    assert after.thermal.bed_k.value == 0.10
    assert after.missing == ()


@pytest.mark.parametrize("plastic", ["pla", "pp_copolymer"])
def test_a_plastic_with_gaps_gets_its_card_when_the_workshop_fills_them(plastic):
    table = CARD | {"set_point_C": 195} if plastic == "pla" else CARD
    after = own(plastic, **{key: table[key] for key in library()[plastic].missing})
    assert after.missing == ()
    assert after.thermal is not None


def test_a_plastic_with_gaps_half_filled_still_names_the_rest():
    after = own("pla", set_point_C=185, melt_target_C=172)
    assert after.thermal is None
    assert "latent_J_kg" in after.missing
    assert "set_point_C" not in after.missing


def test_a_workshops_own_plastic_from_nothing_needs_what_a_card_needs():
    bare = own("pmma", **NEW)
    assert set(bare.missing) == set(CARD)
    whole = own("pmma", **NEW, **CARD)
    assert whole.missing == ()
    assert whole.own
    assert whole.thermal.melt_volume_slope.kind == "assumed"
    assert whole.melt_density_at(205).value == pytest.approx(750)


def test_a_workshops_own_plastic_may_start_from_one_on_file():
    mine = own(
        "greenpp",
        base="pp",
        highest_set_point_C=220,
        fume="as polypropylene",
        name="green tubs",
        density_kg_m3=910,
    )
    assert mine.missing == ()
    assert (mine.id, mine.name, mine.symbol, mine.density.value) == ("greenpp", "green tubs", "PP", 910)
    assert mine.like == "pp"
    assert mine.thermal.latent == library()["pp"].thermal.latent


def test_an_unknown_key_names_the_nearest():
    assert said("hdpe", densty_kg_m3=950).startswith(
        "plastics.toml, hdpe.densty_kg_m3: there is no key 'densty_kg_m3'; did you mean density_kg_m3"
    )


def test_an_impossible_value_names_the_possible_band():
    assert said("hdpe", density_kg_m3=0.95) == (
        "plastics.toml, hdpe.density_kg_m3: 0.95 kg/m3 is not possible; the physically possible band is 800 … 2300 kg/m3."
    )


@pytest.mark.parametrize(
    "entry", [True, "950", None, float("nan"), [900, 950], {"low": 900}, {"value": 950, "hgh": 960}]
)
def test_what_is_no_number_is_a_fault_that_says_how_to_write_one(entry):
    assert "hdpe.density_kg_m3" in said("hdpe", density_kg_m3=entry)


def test_a_list_out_of_order_is_a_fault():
    assert "do not stand in order" in said("hdpe", density_kg_m3=[960, 950, 940])


def test_a_kind_of_evidence_that_does_not_exist_is_a_fault():
    assert "'guessed' is no kind of evidence" in said("hdpe", density_kg_m3={"value": 950, "kind": "guessed"})


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ({"melting_end_C": 120}, "melting_onset_C 122 °C must lie below melting_end_C 120 °C"),
        ({"freezing_end_C": 125.5}, "freezing_end_C 125.5 °C must lie below freezing_onset_C 125.5 °C"),
        ({"freezing_onset_C": 139}, "freezing_onset_C 139 °C must not lie above melting_end_C 138 °C"),
        ({"freezing_end_C": 123}, "freezing_end_C 123 °C must not lie above melting_onset_C 122 °C"),
        ({"melt_target_C": 130}, "melting_end_C 138 °C must not lie above melt_target_C 130 °C"),
        ({"set_point_C": 225}, "set_point_C 225 °C must not lie above highest_set_point_C 220 °C"),
        (
            {"set_point_C": [190, 200, 225]},
            "set_point_C 225 °C must not lie above highest_set_point_C 220 °C",
        ),
        (
            {"contact_pressure_MPa": 0.5},
            "contact_pressure_MPa 0.5 MPa must not lie above full_pressure_MPa 0.25 MPa",
        ),
        (
            {"loose_bulk_density_kg_m3": 960},
            "loose_bulk_density_kg_m3 960 kg/m3 must lie below density_kg_m3 955 kg/m3",
        ),
        ({"bed_bulk_density_kg_m3": 940}, "is no bed of flake"),
    ],
)
def test_values_that_cannot_hold_together_are_a_fault_that_names_both(table, words):
    assert words in said("hdpe", **table)


def test_all_faults_come_at_once():
    faults = override_faults(library(), {"hdpe": {"densty": 1, "density_kg_m3": 2}, "pp": {"melt_k_W_mK": 9}})
    assert [fault.where for fault in faults] == [
        "plastics.toml, hdpe.densty",
        "plastics.toml, hdpe.density_kg_m3",
        "plastics.toml, pp.melt_k_W_mK",
    ]


def test_the_caller_says_where_a_key_stands():
    with pytest.raises(UserError, match=r"^plastics.toml line 7: 2 kg/m3 is not possible"):
        with_overrides(
            library(), {"hdpe": {"density_kg_m3": 2}}, where=lambda plastic, key: "plastics.toml line 7"
        )


@pytest.mark.parametrize("key", ["name", "family", "symbol", "base", "fume"])
def test_what_belongs_to_own_plastics_only_is_a_fault_on_a_plastic_on_file(key):
    assert f"{key!r} of a plastic on file cannot be replaced" in said("hdpe", **{key: "something"})


@given(
    key=st.sampled_from(sorted(set(KEYS) - {"highest_set_point_C"})),
    share=st.floats(0, 1),
    beyond=st.floats(1.001, 50),
)
def test_no_number_outside_its_band_is_ever_taken(key, share, beyond):
    unit, name = KEYS[key]
    high = band(name).high * band(name).factor / SI[unit][1]
    too_much = high + abs(high or 1.0) * (beyond - 1.0)
    assert "physically possible band" in said("hdpe", **{key: too_much})


def test_every_override_key_stands_on_the_page_of_plastics():
    page = (Path(__file__).parents[2] / "docs" / "plastics.md").read_text(encoding="utf-8")
    assert [
        key for key in (*KEYS, "name", "family", "symbol", "fume", "base") if f"`{key}`" not in page
    ] == []
