"""Strangers in a charge: the shares of the project's demo page ("What strangers a charge may hold"), all assumed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.plastics import pair
from flatstock.plastics.library import IDS, library
from flatstock.plastics.pairs import pair_by_name
from flatstock.plastics.safety import rules


@pytest.mark.parametrize(
    ("host", "stranger", "share"),
    [
        ("hdpe", "ldpe", 1.0), ("lldpe", "hdpe", 1.0), ("ps", "hips", 1.0), ("pp", "pp_copolymer", 1.0), ("abs", "abs", 1.0),
        ("hdpe", "pp", 0.05), ("pp", "ldpe", 0.05), ("pp_copolymer", "hdpe", 0.05),
        ("hdpe", "ps", 0.01), ("hips", "pp", 0.01), ("ps", "lldpe", 0.01),
        ("hips", "abs", 0.05), ("abs", "hips", 0.05),
        ("hdpe", "pet", 0.02), ("hips", "pet", 0.02), ("abs", "PET", 0.02),
        ("hdpe", "unidentified", 0.005), ("pp", "wood", 0.005), ("hdpe", "abs", 0.005),
        ("hdpe", "pvc", 0.0), ("abs", "PTFE", 0.0), ("pp", "pom", 0.0), ("hdpe", "pa6", 0.0), ("abs", "pc", 0.0),
    ],
)  # fmt: skip
def test_a_charge_may_hold_this_much(host, stranger, share):
    assert pair(host, stranger).share_max == share


@pytest.mark.parametrize(
    ("host", "name", "share"),
    [
        ("pp", "PE", 0.05), ("hdpe", "polyethylene", 1.0), ("hips", "PE", 0.01), ("abs", "PE", 0.005), ("pp", ">PE-HD<", 0.05),
        ("abs", "polystyrene", 0.005), ("hdpe", "polypropylene", 0.05), ("hdpe", "PETE", 0.02), ("pp", "paint", 0.005),
        ("hdpe", "nylon", 0.0),
    ],
)  # fmt: skip
def test_a_stranger_goes_by_any_of_its_names_and_a_word_for_several_by_the_least_of_them(host, name, share):
    """ABS takes 5 % of HIPS, but of PS no more than of what nobody has identified."""
    assert pair_by_name(host, name, library()).share_max == share


def test_polypropylene_in_polyethylene_says_where_less_is_wanted():
    assert "2 % where the sheet is screwed or bent" in pair("hdpe", "pp").note


def test_polyethylenes_name_the_stiffer_one():
    assert "stiffer" in pair("hdpe", "ldpe").note


@given(host=st.sampled_from(IDS), stranger=st.sampled_from([*IDS, "pvc", "rubber", "paper"]))
def test_every_rule_has_a_reason_and_a_share(host, stranger):
    rule = pair(host, stranger)
    assert 0.0 <= rule.share_max <= 1.0
    assert rule.reason
    assert rule.kind == "assumed"


def test_nothing_that_is_never_pressed_has_a_share_but_pet_specks_and_unidentified_pieces():
    for entry in rules().never_pressed:
        for name in entry.names:
            allowed = {"pet": 0.02, "unidentified": 0.005}.get(entry.id, 0.0)
            assert pair("hdpe", name).share_max <= allowed, name
