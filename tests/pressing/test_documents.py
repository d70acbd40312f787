"""Documents of the pressing room as other programs read them."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from datetime import datetime, timedelta

import jsonschema
import pytest

from flatstock import schemas
from flatstock.actions.cards import card_of_order, make_card
from flatstock.documents import number, rounded, why
from flatstock.evidence import KINDS
from flatstock.pressing.card import answer_card
from flatstock.pressing.correct import answer_correct
from flatstock.pressing.questions import CardQuestion, CorrectQuestion
from flatstock.workshop.start import StartAnswers

from .conftest import MONDAY, mould

QUESTIONS = {
    "hdpe 12": {},
    "hdpe 18 in still air": {"thickness": 0.018, "fans": False, "every": 2700.0},
    "pp 6": {"plastic": "pp", "thickness": 0.006},
    "hips": {"plastic": "hips", "thickness": 0.006},
    "abs, no lot": {"plastic": "abs"},
    "lldpe from the library": {"plastic": "lldpe"},
    "a blend without a viscosity": {"lots": {"L-2302": 0.9, "L-2308": 0.1}},
    "ten minutes": {"viscosity": 10e3, "full_pressure_time": 600.0},
    "practice beyond the face": {"plastic": "pp", "thickness": 0.012},
    "no cooling in time": {"every": 60.0},
}


@pytest.fixture(scope="module", params=QUESTIONS, ids=list(QUESTIONS))
def a_card(request, card):
    return card(**QUESTIONS[request.param])


@pytest.fixture(scope="module")
def a_stack(stack):
    return stack(mould(mm=18), mould(hours=0.8), mould("pp", 6, hours=1.5, core=205.0))


@pytest.fixture(scope="module")
def a_correction(shop):
    return answer_correct(
        shop, CorrectQuestion(plastic="hdpe", thickness=0.012, charge=11.74, measured=0.01182, flash=0.3)
    )


def starred(document):
    """Every number with a band in a document, with where it stands."""
    found = []

    def walk(node, path):
        if isinstance(node, dict):
            if {"value", "low", "high", "kind"} <= node.keys():
                found.append((path, node))
            for key, value in node.items():
                walk(value, f"{path}.{key}")
        elif isinstance(node, list):
            for index, value in enumerate(node):
                walk(value, f"{path}[{index}]")

    walk(document, "")
    return found


def is_sound(document):
    json.dumps(document, allow_nan=False)
    for path, node in starred(document):
        assert node["low"] <= node["value"] <= node["high"], path
        assert node["kind"] in KINDS, path
        assert node["source"], path
    assert document["cautions"], "a document without a caution"
    assert all(caution["text"] and caution["defer_to"] for caution in document["cautions"])


def test_every_card_is_what_its_schema_says_and_sound(a_card):
    jsonschema.validate(a_card, schemas.load("card"))
    is_sound(a_card)


def test_every_computed_number_of_a_card_has_its_why(a_card):
    explained = {reason["of"] for reason in a_card["why"]}
    unexplained = {
        field
        for field, node in a_card.items()
        if isinstance(node, dict) and node.get("kind") == "computed" and field not in explained
    }
    assert not unexplained
    assert "dwell_advised_min" in explained


def test_every_numeric_field_of_a_card_has_its_why_those_of_its_lists_too(a_card):
    explained = {reason["of"] for reason in a_card["why"]}
    asked = {field for field, node in a_card.items() if is_numeric(node) and field in FORMATS}
    for name in ("weigh", "steps"):
        asked |= {
            f"{name}.{part}" for line in a_card[name] for part, node in line.items() if is_numeric(node)
        }
    missing = {field for field in asked if field not in explained}
    assert not missing


def is_numeric(node):
    if isinstance(node, dict):
        return "value" in node
    return isinstance(node, (int, float)) and not isinstance(node, bool)


#: fields of `flatstock.card/1` with a number, as the page of formats lists them
FORMATS = (
    "thickness_mm", "cavity_length_mm", "cavity_width_mm", "net_charge_kg", "charge_kg", "scale_step_kg", "heap_mm",
    "hot_level_mm", "hot_level_charge_mm", "proud_mm", "cold_length_mm", "cold_width_mm", "set_point_C",
    "melt_target_C", "dwell_min", "dwell_advised_min", "dwell_latest_min", "platen_dip_C", "flash_kg",
    "sheet_thickness_mm", "press_cool_min", "press_every_min", "open_below_C", "demould_below_C", "energy_kWh",
    "mould_mass_kg", "full_pressure_min", "daylight_mm", "thickness_tolerance_mm",
)  # fmt: skip


@pytest.mark.parametrize("field", ["press_cool_min", *(f for f in FORMATS if f != "press_cool_min")])
def test_every_field_of_the_formats_is_explained_whatever_its_value(card, field):
    assert field in {reason["of"] for reason in card(lots={"L-2308": 1.0})["why"]}


def test_a_number_with_a_band_says_which_inputs_the_band_comes_from(a_card):
    """Shares of one band sum to 1, less what falls by chance to an input that has no part in it."""
    for reason in a_card["why"]:
        shares = [line["band_share"] for line in reason["inputs"] if "band_share" in line]
        if shares and reason["of"] != "dwell_latest_min":
            assert sum(shares) == pytest.approx(1.0, abs=0.05), reason["of"]
    by = {reason["of"]: reason for reason in a_card["why"]}
    for field in ("net_charge_kg", "charge_kg", "dwell_min", "platen_dip_C", "cold_length_mm"):
        node = a_card[field]
        if node["low"] < node["high"]:
            assert any(line.get("band_share") for line in by[field]["inputs"]), field


def test_every_input_of_a_why_carries_its_kind_source_and_name(a_card):
    for reason in a_card["why"]:
        assert reason["formula"]
        assert reason["source"]
        assert reason["inputs"] or reason.get("note")
        for line in reason["inputs"]:
            assert line["kind"] in KINDS, (reason["of"], line)
            assert line["name"], reason["of"]
            assert line["source"], (reason["of"], line)
            assert line["low"] <= line["value"] <= line["high"]


def test_the_inputs_of_the_dwell_stand_in_the_order_in_which_they_make_its_band(a_card):
    (reason,) = [r for r in a_card["why"] if r["of"] == "dwell_min"]
    shares = [line.get("band_share", 0.0) for line in reason["inputs"]]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1.0, abs=1e-4)


def test_own_values_show_as_the_shop_s_and_library_values_as_the_library_s(card):
    (reason,) = [r for r in card()["why"] if r["of"] == "net_charge_kg"]
    density = next(line for line in reason["inputs"] if line["name"].startswith("density"))
    assert density["value"] == 950
    assert "of this workshop" in density["source"]
    (reason,) = [r for r in card(plastic="lldpe")["why"] if r["of"] == "net_charge_kg"]
    density = next(line for line in reason["inputs"] if line["name"].startswith("density"))
    assert "of this workshop" not in density["source"]


def test_a_card_counts_what_it_rests_on(a_card):
    seen = {(line["name"], line["kind"]) for reason in a_card["why"] for line in reason["inputs"]
            if line["source"] != "asked for"}  # fmt: skip
    assert sum(a_card["rests_on"].values()) == len(seen)


def test_warnings_are_sentences(a_card):
    for warning in a_card["warnings"]:
        assert warning[0].isupper(), warning
        assert warning.endswith("."), warning
        assert "  " not in warning
        assert "nan" not in warning.lower().split()


def test_a_stack_is_what_its_schema_says_and_sound(a_stack):
    jsonschema.validate(a_stack, schemas.load("stack"))
    is_sound(a_stack)


def test_instants_of_a_stack_are_iso_with_an_offset(a_stack):
    instants = [a_stack["at"], *(m["arrives"] for m in a_stack["moulds"])]
    for field in ("value", "low", "high"):
        instants += [a_stack["ready_at"][field], *(m["open_after"][field] for m in a_stack["moulds"])]
    assert all(datetime.fromisoformat(text).utcoffset() is not None for text in instants)


def test_every_input_of_a_stack_s_why_has_its_kind_and_source(a_stack):
    (reason,) = a_stack["why"]
    assert all(line["kind"] in KINDS and line["source"] for line in reason["inputs"])


def test_the_wall_chart_is_what_its_schema_says_and_sound(chart):
    jsonschema.validate(chart, schemas.load("wallchart"))
    is_sound(chart)


def test_a_correction_is_what_its_schema_says_and_sound(a_correction):
    jsonschema.validate(a_correction, schemas.load("correct"))
    is_sound(a_correction)


def test_a_card_says_when_and_for_which_order_it_was_made(shop):
    question = replace(card_of_order(shop.orders["O-102"]), made_at=MONDAY + timedelta(hours=1))
    document = make_card(shop, question).document
    assert document["order"] == "O-102"
    assert document["made_at"] == "2026-03-02T08:00:00+00:00"
    assert document["colour"] == "white"


def test_numbers_have_six_figures_and_none_stays_none():
    assert rounded(1234567.0) == 1234570.0
    assert rounded(0.000123456789) == 0.000123457
    assert number(None) is None


def test_a_why_without_shares_has_none():
    assert why("x", "x = y", [], "here") == {"of": "x", "formula": "x = y", "inputs": [], "source": "here"}


def test_what_nobody_has_measured_is_nowhere_given_out_as_measured(started):
    """A workshop of usual answers: every number of its shop.toml is assumed, or a default of ours."""
    folder_of_guesses = started(assumed=frozenset(f.name for f in fields(StartAnswers)) - {"assumed"})
    document = answer_card(folder_of_guesses, CardQuestion(plastic="hdpe", thickness=0.006)).document
    measured = {
        (reason["of"], line["name"])
        for reason in document["why"]
        for line in reason["inputs"]
        if line["kind"] == "measured" and line["source"] != "asked for"
    }
    assert measured == set()


@pytest.mark.parametrize(
    ("of", "names"),
    [
        (
            "dwell_min",
            {"plastic in the charge", "set-point", "melt target", "room, and charge at first", "skin"},
        ),
        ("energy_kWh", {"advised dwell", "bottom platen", "heated mass"}),
        (
            "press_cool_min",
            {"advised dwell", "sheet", "from mould to mould", "release limit", "bottom plate"},
        ),
        ("flash_kg", {"density of the melt at the set-point", "cavity area", "perimeter of the cavity"}),
        ("sheet_thickness_mm", {"charge, unrounded", "linear shrinkage"}),
    ],
)
def test_a_reason_names_what_is_settled_beside_what_its_band_comes_from(card, of, names):
    [reason] = [one for one in card()["why"] if one["of"] == of]
    assert names <= {line["name"] for line in reason["inputs"]}


def test_an_input_has_one_kind_of_evidence_wherever_it_is_named(a_card):
    kinds: dict[tuple[str, str, float], set[str]] = {}
    for reason in a_card["why"]:
        for line in reason["inputs"]:
            kinds.setdefault((line["name"], line["unit"], line["value"]), set()).add(line["kind"])
    assert {name: kind for name, kind in kinds.items() if len(kind) > 1} == {}
