"""Lots that are refused: not released, too wet, of electrical goods, with strangers, too little, or made of such."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.errors import Refused
from flatstock.pressing.card import answer_card
from flatstock.pressing.correct import answer_correct
from flatstock.pressing.questions import CardQuestion, CorrectQuestion
from flatstock.pressing.setting import set_out

# Lots


@pytest.mark.parametrize(
    ("status", "said"),
    [
        ("quarantine", "held in quarantine"),
        ("received", "taken in and not released yet"),
        ("blocked", "blocked"),
    ],
)
def test_a_lot_that_is_not_released_is_refused_in_words(with_lots, refusal, status, said):
    held = with_lots({"L-2301": {"status": status}})
    assert f"L-2301 is {said}; only a released lot is pressed" in refusal(held, lots={"L-2301": 1.0})


def test_a_held_lot_is_never_taken_unasked(with_lots):
    held = with_lots({"L-2301": {"status": "quarantine"}})
    weigh = answer_card(held, CardQuestion(plastic="hdpe", thickness=0.012)).document["weigh"]
    assert [line["lot"] for line in weigh] == ["L-2302"]


def test_a_held_lot_is_refused_as_a_part_of_a_blend_too(with_lots, refusal):
    held = with_lots({"L-2308": {"status": "quarantine"}})
    assert "L-2308" in refusal(held, lots={"L-2302": 0.95, "L-2308": 0.05})


@pytest.mark.parametrize(
    ("bromine", "piece"), [("not_tested", "without a bromine result"), ("found", "bromine test failed")]
)
def test_plastic_from_electrical_goods_is_refused_without_a_clear_bromine_result(
    with_lots, refusal, bromine, piece
):
    lot = with_lots({"L-2306": {"status": "released", "bromine": bromine}})
    assert piece in refusal(lot, plastic="abs", lots={"L-2306": 1.0})


def test_plastic_from_electrical_goods_with_a_clear_bromine_result_is_pressed(with_lots):
    clear = with_lots({"L-2306": {"status": "released", "bromine": "clear"}})
    document = answer_card(clear, CardQuestion(plastic="abs", thickness=0.012, lots={"L-2306": 1.0})).document
    assert document["weigh"][0]["lot"] == "L-2306"


@pytest.mark.parametrize("moisture", [0.0031, 0.05])
def test_a_wet_charge_is_refused(with_lots, refusal, moisture):
    assert "dry it first" in refusal(with_lots({"L-2301": {"moisture": moisture}}))


def test_a_blend_counts_by_its_water_as_a_whole(with_lots, refusal):
    lots = {"L-2301": 0.5, "L-2302": 0.5}
    wet = with_lots({"L-2301": {"moisture": 0.0062}, "L-2302": {"moisture": 0.0}})
    assert "0.31 % water" in refusal(wet, lots=lots)
    just = with_lots({"L-2301": {"moisture": 0.0058}, "L-2302": {"moisture": 0.0}})
    assert answer_card(just, CardQuestion(plastic="hdpe", thickness=0.012, lots=lots)).document["weigh"]


def test_a_mould_whose_card_would_take_a_wet_lot_is_refused_and_one_already_pressed_is_not(
    shop, stack, a_mould
):
    with pytest.raises(Refused, match="dry it first"):
        stack(a_mould("ldpe", core=None))
    assert stack(a_mould("ldpe", core=165.0))["moulds"][0]["plastic"] == "ldpe"


def test_a_measured_sheet_is_corrected_whatever_water_the_lot_in_store_holds(shop):
    asked = CorrectQuestion(plastic="ldpe", thickness=0.012, charge=11.4, measured=0.0118)
    assert answer_correct(shop, asked)["next_charge_kg"]["value"] > 11.4


def test_a_lot_of_another_plastic_is_refused_beyond_its_share(refusal):
    assert "PP; a charge of HDPE may hold 5 % of it at most, not 50 %" in refusal(
        lots={"L-2301": 0.5, "L-2304": 0.5}
    )


# Lots that hold too little, or too much else


def test_a_lot_that_holds_less_than_the_charge_is_refused_with_lots_that_hold_enough(refusal):
    said = refusal(thickness=0.018, lots={"L-2309": 1.0})
    assert "lot L-2309 holds 12 kg and this charge takes 17.6 kg of it" in said
    assert "take L-2301 (412 kg), L-2302 (190 kg), L-2303 (96 kg)" in said


def test_only_the_lot_of_a_blend_that_is_short_is_named(refusal):
    said = refusal(thickness=0.018, lots={"L-2309": 0.8, "L-2302": 0.2}).splitlines()
    assert len(said) == 1
    assert said[0].startswith("--lot: lot L-2309 holds 12 kg")


def test_two_lots_that_hold_the_charge_together_are_offered_as_shares(shop, refusal):
    two = {
        name: replace(shop.lots[name], mass=mass, strangers={})
        for name, mass in (("L-2301", 8.0), ("L-2302", 6.0))
    }
    assert "write --lot L-2301=68% L-2302=32%" in refusal(replace(shop, lots=two))


def test_where_all_lots_together_are_short_the_refusal_says_how_much_there_is(shop, refusal):
    one = {"L-2301": replace(shop.lots["L-2301"], mass=5.0)}
    assert "all released HDPE together is 5 kg" in refusal(replace(shop, lots=one))


def test_strangers_add_up_over_the_lots_and_are_refused_beyond_the_pair_rule(refusal):
    """0.95 x 2.1 % PP in the host lot, and 5 % of a lot of PP."""
    said = refusal(lots={"L-2301": 0.95, "L-2304": 0.05})
    assert "a charge of L-2301 and L-2304 holds 7 % PP; in HDPE 5 % is the most" in said


@pytest.mark.parametrize(
    ("strangers", "piece"),
    [
        ({"pp": 0.051}, "5.1 % PP; in HDPE 5 % is the most"), ({"ps": 0.011}, "1.1 % PS; in HDPE 1 %"),
        ({"PE-LD": 0.5}, None), ({"pet": 0.021}, "2.1 % PET; in HDPE 2 %"), ({"wood": 0.006}, "0.6 % WOOD"),
        ({"pp": 0.03, "pp_copolymer": 0.03}, "6 % PP and PP_COPOLYMER"), ({"ps": 0.006, "hips": 0.006}, "1.2 % PS and HIPS"),
        ({"wood": 0.003, "paint": 0.003}, "0.6 % WOOD and PAINT"), ({"polypropylene": 0.06}, "6 % PP"),
        ({"pp": 0.05}, None),
    ],
)  # fmt: skip
def test_strangers_of_one_lot_are_held_against_the_pair_rules_those_of_one_kind_together(
    with_lots, shop, strangers, piece
):
    lots = with_lots({"L-2301": {"strangers": strangers}})
    if piece is None:
        assert set_out(lots, plastic="hdpe", thickness=0.012, lots={"L-2301": 1.0})
        return
    with pytest.raises(Refused, match=piece):
        set_out(lots, plastic="hdpe", thickness=0.012, lots={"L-2301": 1.0})


# What a regrind was made of


@pytest.mark.parametrize(
    ("facts", "piece"),
    [
        ({"status": "quarantine"}, "L-2301, which L-2308 was made from, is held in quarantine"),
        ({"status": "blocked"}, "is blocked"),
        ({"origin": "electrical"}, "comes from electrical goods without a bromine result"),
        ({"strangers": {"pvc": 0.001}}, "0.1 % pvc, which no charge may hold"),
        ({"form": "foam"}, "never pressed"),
        ({"strangers": {"ps": 0.03}}, "3 % PS; in HDPE 1 % is the most"),
    ],
)
def test_what_a_parent_holds_its_regrind_down_for(with_lots, refusal, facts, piece):
    assert piece in refusal(with_lots({"L-2301": facts}), lots={"L-2308": 1.0})


def test_a_word_for_several_plastics_is_no_unidentified_stranger(with_lots, refusal):
    """Polypropylene may hold 5 % of any polyethylene."""
    asked = {"plastic": "pp", "thickness": 0.006, "lots": {"L-2304": 1.0}}
    assert set_out(with_lots({"L-2304": {"strangers": {"pe": 0.03}}}), **asked)
    too_many = with_lots({"L-2304": {"strangers": {"pe": 0.06}}})
    assert "6 % PE; in PP 5 % is the most" in refusal(too_many, **asked)


@pytest.mark.parametrize("facts", [{"status": "empty"}, {"moisture": 0.05}, {"mass": 0.0}])
def test_a_parent_that_is_used_up_or_wet_holds_nothing_down(with_lots, facts):
    assert set_out(with_lots({"L-2301": facts}), plastic="hdpe", thickness=0.012, lots={"L-2308": 1.0})


def test_a_regrind_of_a_regrind_is_held_down_by_its_grandparents(with_lots, shop, refusal):
    again = replace(shop.lots["L-2308"], id="L-2310", parents=("L-2308",))
    held = with_lots({"L-2301": {"status": "quarantine"}})
    assert "L-2301, which L-2310 was made from" in refusal(
        replace(held, lots={**held.lots, "L-2310": again}), lots={"L-2310": 1.0}
    )


def test_lots_that_name_each_other_as_parents_are_read_once(with_lots):
    ring = with_lots({"L-2301": {"parents": ("L-2308",)}})
    assert set_out(ring, plastic="hdpe", thickness=0.012, lots={"L-2308": 1.0})


def test_black_flake_of_unknown_origin_is_refused_until_a_bromine_test_is_clear(with_lots, refusal):
    black = {"origin": "unknown", "colour": "black"}
    assert "nobody knows where it comes from" in refusal(with_lots({"L-2301": black}), lots={"L-2301": 1.0})
    tested = with_lots({"L-2301": black | {"bromine": "clear"}})
    assert set_out(tested, plastic="hdpe", thickness=0.012, lots={"L-2301": 1.0})


def test_a_wet_charge_whose_heap_will_fit_is_refused_for_its_water_alone(shop):
    with pytest.raises(Refused) as thin:
        answer_card(shop, CardQuestion(plastic="ldpe", thickness=0.006, lots={"L-2307": 1.0}))
    assert [fault.where for fault in thin.value.faults] == ["--lot"]
    with pytest.raises(Refused) as thick:
        answer_card(shop, CardQuestion(plastic="ldpe", thickness=0.012, lots={"L-2307": 1.0}))
    assert [fault.where for fault in thick.value.faults] == ["--lot", "the heap"]
