"""One test a rule of the safety list; other doors have their own tests that they call this one."""

import inspect
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import UserError
from flatstock.plastics import library, with_overrides
from flatstock.plastics.safety import cautions_for, check_pressable, never_pressed, rules

HDPE = library()["hdpe"]
OWN = {
    "pmma": {
        "density_kg_m3": 1190,
        "shrinkage_percent": 0.5,
        "highest_set_point_C": 220,
        "fume": "methyl methacrylate",
    }
}


def words(*args, **kwargs) -> str:
    """Every fault of a check in one line; empty when there is none."""
    return " | ".join(fault.sentence() for fault in check_pressable(*args, **kwargs))


def test_a_released_lot_of_a_known_plastic_at_its_usual_set_point_is_pressed():
    assert check_pressable(HDPE, 195, "packaging", "released", moisture=0.001, breathing=True) == []


@pytest.mark.parametrize(
    ("name", "entry"),
    [
        ("PVC", "pvc"), ("soft-PVC film", "pvc"), ("uPVC", "pvc"), ("PVC-U pipe", "pvc"), ("polyvinyl chloride", "pvc"),
        ("PTFE", "fluoropolymer"), ("fluoropolymer tape", "fluoropolymer"),
        ("POM", "pom"), ("acetal", "pom"),
        ("ABS FR", "flame_retarded"), ("flame-retarded HIPS", "flame_retarded"),
        ("PET", "pet"), ("rPET flake", "pet"), ("PA66", "pa"), ("Nylon", "pa"), ("PA-6", "pa"),
        ("PC", "pc"), ("PC/ABS", "pc"), ("polycarbonate", "pc"),
        ("PP talc", "filled"), ("PA6-GF30", "pa"), ("glass filled PP", "filled"),
        ("EPS", "foamed"), ("PE foam", "foamed"), ("PE-X", "crosslinked"), ("cross-linked PE", "crosslinked"),
        ("unknown", "unidentified"), ("", "unidentified"), ("mixed", "unidentified"),
    ],
)  # fmt: skip
def test_what_is_never_pressed_is_known_by_its_usual_names(name, entry):
    assert never_pressed(name).id == entry
    assert "never pressed" in words(None, None, None, None, name=name)


@pytest.mark.parametrize(
    "name", ["hdpe", "PE-HD", "pp_copolymer", "PS-I", "abs", "caps", "film flake", "PE-LLD", "pla"]
)
def test_the_list_does_not_catch_what_may_be_pressed(name):
    assert never_pressed(name) is None


def test_every_entry_has_a_reason_and_somebody_who_decides():
    for entry in rules().never_pressed:
        assert len(entry.reason) > 20
        assert entry.defer_to


def test_the_list_is_the_whole_list():
    assert {entry.id for entry in rules().never_pressed} == {
        "pvc", "fluoropolymer", "pom", "flame_retarded", "pet", "pa", "pc", "filled", "foamed", "crosslinked", "unidentified",
    }  # fmt: skip


@pytest.mark.parametrize("name", ["pet", "pa6", "pc"])
def test_a_stranger_plastic_is_refused_with_the_reason(name):
    assert "this process does not control" in words(library()[name], None, None, None)


def test_an_unidentified_plastic_is_refused():
    assert "what is not identified may be any of the plastics that are never pressed" in words(
        None, 190, None, None
    )


@pytest.mark.parametrize("bromine_free", [None, False])
def test_plastic_from_electrical_goods_needs_a_bromine_result(bromine_free):
    said = words(library()["abs"], 220, "electrical", "released", bromine_free=bromine_free)
    assert "comes from electrical goods" in said
    assert "bromine" in said


@pytest.mark.parametrize("origin", ["electrical", "Electronics", "WEEE", "e-waste"])
def test_electrical_goods_are_known_by_their_usual_names(origin):
    assert "bromine" in words(library()["hips"], 190, origin, "released")


def test_plastic_from_electrical_goods_with_a_clean_bromine_result_is_pressed():
    assert words(library()["abs"], 220, "electrical", "released", bromine_free=True) == ""


@pytest.mark.parametrize(
    ("flag", "said"),
    [
        ("flame_retarded", "flame-retarded"),
        ("filled", "filled"),
        ("foamed", "foamed"),
        ("crosslinked", "cross-linked"),
    ],
)
def test_a_property_of_the_lot_that_forbids_pressing_refuses(flag, said):
    assert f"is {said} plastic, never pressed" in words(HDPE, 190, "packaging", "released", **{flag: True})


def test_the_form_of_a_lot_can_forbid_it():
    assert "never pressed" in words(HDPE, 190, "packaging", "released", form="foam blocks")
    assert words(HDPE, 190, "packaging", "released", form="caps, dark mixed") == ""


def test_a_set_point_above_the_highest_is_refused_with_both_numbers():
    said = words(HDPE, 221, None, None)
    assert "221 °C is above 220 °C" in said
    assert "nothing overrides it" in said


def test_the_highest_set_point_itself_is_allowed():
    assert check_pressable(HDPE, 220, None, None) == []


@pytest.mark.parametrize("set_point", [float("nan"), float("inf")])
def test_a_set_point_that_is_no_temperature_is_refused(set_point):
    assert "no temperature" in words(HDPE, set_point, None, None)


@pytest.mark.parametrize("status", ["received", "quarantine", "blocked", "empty", "Quarantine", ""])
def test_a_lot_that_is_not_released_is_refused(status):
    assert "only a released lot is pressed" in words(HDPE, 190, "packaging", status, lot="L-1")


def test_a_wet_charge_is_not_breathed():
    assert "dry it first" in words(HDPE, 190, None, None, moisture=0.0031, breathing=True)
    assert words(HDPE, 190, None, None, moisture=0.003, breathing=True) == ""
    assert words(HDPE, 190, None, None, moisture=0.0031, breathing=False) == ""
    assert "dry it first" in words(HDPE, 190, None, None, moisture=float("nan"), breathing=True)


@pytest.mark.parametrize("stranger", ["pvc", "PTFE", "pom", "pa6", "pc"])
def test_a_charge_that_holds_any_of_what_is_never_pressed_is_refused(stranger):
    assert "no charge may hold" in words(HDPE, 190, None, "released", strangers={stranger: 0.0005})


def test_strangers_that_have_a_share_of_their_own_are_left_to_the_pairs():
    assert (
        words(HDPE, 190, None, "released", strangers={"pet": 0.012, "pp": 0.02, "unidentified": 0.004}) == ""
    )


def test_a_workshops_own_plastic_with_limit_and_fume_is_pressed():
    own = with_overrides(library(), OWN)["pmma"]
    assert words(own, 215, None, "released") == ""
    assert "221 °C is above 220 °C" in words(own, 221, None, "released")


@pytest.mark.parametrize("key", ["highest_set_point_C", "fume"])
def test_a_workshops_own_plastic_without_limit_or_fume_is_refused_when_it_is_read(key):
    table = {k: v for k, v in OWN["pmma"].items() if k != key}
    with pytest.raises(UserError, match=f"so it needs {key}"):
        with_overrides(library(), {"pmma": table})


def test_a_plastic_that_slips_in_without_limit_or_fume_is_refused_at_the_door():
    own = with_overrides(library(), OWN)["pmma"]
    assert "no highest set-point on file" in words(
        replace(own, process=replace(own.process, highest_set_point=None)), 200, None, None
    )
    assert "no line on its fume on file" in words(
        replace(own, process=replace(own.process, fume="  ")), 200, None, None
    )
    assert words(replace(own, process=None), 200, None, None).count("on file") == 2


@pytest.mark.parametrize(
    "table",
    [
        {"name": "soft PVC"}, {"symbol": "PET"}, {"family": "fluoropolymer"}, {"name": "PC/ABS blend"}, {"symbol": "PE-X"},
        {"base": "pet"}, {"base": "pa6"},
    ],
)  # fmt: skip
def test_a_workshop_cannot_add_what_is_never_pressed_under_another_name(table):
    with pytest.raises(UserError, match="never pressed"):
        with_overrides(library(), {"stuff": {**OWN["pmma"], **table}})


@pytest.mark.parametrize("value", [300, 221, 200, {"value": 230}, [210, 215, 230]])
def test_no_override_changes_the_highest_set_point_of_a_plastic_on_file(value):
    with pytest.raises(UserError, match="highest set-point of 220 °C cannot be replaced"):
        with_overrides(library(), {"hdpe": {"highest_set_point_C": value}})


@pytest.mark.parametrize("twin", [{"base": "hdpe"}, {"symbol": "PE-HD"}])
def test_a_twin_of_a_plastic_on_file_keeps_its_limit(twin):
    table = {**OWN["pmma"], "density_kg_m3": 955, "highest_set_point_C": 235, **twin}
    with pytest.raises(UserError, match="235 °C is above 220 °C"):
        with_overrides(library(), {"twin": table})


def test_an_override_never_lets_a_stranger_be_pressed():
    own = with_overrides(
        library(), {"pet": {"set_point_C": 200, "melt_target_C": 190, "density_kg_m3": 1340}}
    )["pet"]
    assert own.density.value == 1340
    assert own.thermal is None
    assert "never pressed" in words(own, 200, "packaging", "released")


def test_the_check_has_no_word_that_lifts_a_rule():
    names = set(inspect.signature(check_pressable).parameters)
    assert not {
        name
        for name in names
        if any(w in name for w in ("override", "force", "ignore", "allow", "skip", "unsafe"))
    }


@given(
    flags=st.fixed_dictionaries(
        {f: st.booleans() for f in ("flame_retarded", "filled", "foamed", "crosslinked", "breathing")}
    ),
    moisture=st.floats(0, 1),
    origin=st.sampled_from([None, "packaging", "electrical"]),
)
def test_saying_more_about_a_lot_never_lifts_a_refusal(flags, moisture, origin):
    base = check_pressable(HDPE, 225, None, "quarantine")
    more = check_pressable(HDPE, 225, origin, "quarantine", moisture=moisture, **flags)
    assert set(base) <= set(more)


def test_every_fault_is_one_sentence_with_what_to_do():
    for fault in check_pressable(
        HDPE, 300, "electrical", "blocked", moisture=0.01, breathing=True, filled=True, where="L-1"
    ):
        assert fault.instead
        assert fault.sentence().startswith("L-1: ")


def test_cautions_come_with_who_decides():
    found = cautions_for("hot", "opening")
    assert len(found) >= 3
    assert all(set(caution) == {"text", "defer_to"} and all(caution.values()) for caution in found)


def test_a_topic_that_does_not_exist_is_no_silent_loss():
    with pytest.raises(KeyError, match="no caution on hott"):
        cautions_for("hott")


@pytest.mark.parametrize(
    "topic",
    ["hot", "opening", "wet", "water", "water_cooled", "press", "inside_press", "hydraulics", "pressure", "unattended", "fume",
     "identification", "lifting", "stack", "saw", "fire", "electricity", "claims", "sag", "plan"],
)  # fmt: skip
def test_every_topic_that_documents_need_has_a_caution(topic):
    assert cautions_for(topic)


def test_the_enforced_rules_are_all_there():
    assert {rule.id for rule in rules().rules} == {
        "no_override", "own_plastic", "electrical", "released_lots_only", "never_unattended", "who_may", "lifting", "safe_end",
        "danger_before_data", "late_is_no_hurry", "rated_pressure", "wet_charge", "narrow_strips",
    }  # fmt: skip


def test_every_line_of_the_file_says_how_it_is_known():
    marks = {"read", "second_hand", "from_memory", "computed", "assumed"}
    everything = [
        *rules().never_pressed,
        *rules().rules,
        *rules().cautions,
        rules().emergency_card,
        rules().closing_check,
    ]
    assert {item.mark for item in everything} <= marks
    assert all(item.defer_to for item in everything)


def test_the_emergency_card_puts_people_before_data():
    lines = rules().emergency_card.lines
    assert lines[0].startswith("Stand clear")
    assert "temperature" in lines[-1]


def test_the_closing_check_has_its_four_lines():
    text = " ".join(rules().closing_check.lines)
    for thing in ("isolator", "bin", "fire", "Hot stack"):
        assert thing in text


def test_claims_are_disclaimed_in_the_agreed_words():
    assert cautions_for("claims")[0]["text"] == (
        "Not for food contact, toys, medical, load-bearing or fire-rated use unless tested."
    )
