"""Laws that hold whatever is asked: thicker, order, scale, room."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.pressing.card import Card, answer_card
from flatstock.pressing.charging import Charge
from flatstock.pressing.picking import pick
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import set_out

from .conftest import mould

PLASTICS = st.sampled_from(["hdpe", "pp", "hips", "abs", "lldpe", "ps"])


def worked_out(shop, plastic, thickness, **words):
    """A card without a lot, whose band is not asked for: about 20 ms."""
    setting = set_out(
        shop, plastic=plastic, thickness=thickness, any_lot=False, frame_must_fit=False, **words
    )
    return Card(question=CardQuestion(plastic=plastic, thickness=thickness), setting=setting)


def melt_through(card):
    return card.heating.melt_history.time


@settings(max_examples=25, deadline=None)
@given(plastic=PLASTICS, thin=st.floats(0.003, 0.020), more=st.floats(0.0005, 0.010))
def test_a_thicker_sheet_in_the_same_frame_melts_later_and_weighs_no_less(shop, plastic, thin, more):
    first, second = (worked_out(shop, plastic, h, frame="F06-1") for h in (thin, thin + more))
    assert melt_through(second) > melt_through(first)
    assert second.charge.weighed > first.charge.weighed


@settings(max_examples=15, deadline=None)
@given(plastic=PLASTICS, thickness=st.floats(0.003, 0.015), cooler=st.floats(1.0, 15.0))
def test_hotter_platens_melt_no_later_beyond_a_switching_of_the_heaters(shop, plastic, thickness, cooler):
    hot = worked_out(shop, plastic, thickness)
    mild = worked_out(shop, plastic, thickness, set_point=hot.setting.set_point.value - cooler)
    assert melt_through(mild) >= melt_through(hot) - 60


@given(thickness=st.floats(0.001, 0.1), plastic=PLASTICS)
def test_the_charge_is_within_half_a_step_of_net_and_allowance(shop, plastic, thickness):
    charge = Charge(
        setting=set_out(shop, plastic=plastic, thickness=thickness, any_lot=False, frame_must_fit=False)
    )
    assert charge.weighed == pytest.approx(charge.net.value * 1.025, abs=charge.step / 2 + 1e-9)
    assert charge.net.value == pytest.approx(charge.density.value * charge.cold_area * thickness)


@given(a=st.floats(0.05, 0.9), b=st.floats(0.05, 0.9))
def test_the_order_in_which_lots_are_named_changes_nothing(shop, a, b):
    shares = {"L-2301": a, "L-2302": (1 - a) * b, "L-2303": (1 - a) * (1 - b)}
    turned = dict(reversed(shares.items()))
    one, other = (
        Charge(setting=set_out(shop, plastic="hdpe", thickness=0.012, lots=lots)) for lots in (shares, turned)
    )
    assert dict(one.weigh_list) == pytest.approx(dict(other.weigh_list), abs=one.step + 1e-9)
    assert one.weighed == other.weighed
    assert one.heap.value == pytest.approx(other.heap.value)
    assert sum(mass for _, mass in one.weigh_list) == pytest.approx(one.weighed, abs=1e-9)


@pytest.mark.parametrize("thickness", [0.006, 0.018])
def test_a_warmer_room_melts_sooner_and_cools_later(shop, thickness):
    cold, warm = (
        answer_card(
            replace(shop, room=replace(shop.room, value=t, low=t, high=t)),
            CardQuestion(plastic="hdpe", thickness=thickness, every=5400.0),
        ).document
        for t in (5.0, 35.0)
    )
    assert warm["dwell_min"]["value"] < cold["dwell_min"]["value"]
    assert warm["press_cool_min"][0]["value"] > cold["press_cool_min"][0]["value"]


def test_moulds_upside_down_between_equal_faces_cool_alike(shop, stack):
    """The cooling press's plates are alike; with fans both of its faces are too."""
    thin, thick = mould(mm=6), mould(mm=18)
    one = stack(thin, thick, place="CP1", fans=True)["moulds"]
    other = stack(thick, thin, place="CP1", fans=True)["moulds"]
    for mine, theirs in zip(one, reversed(other), strict=True):
        assert mine["open_after"]["value"][:16] == theirs["open_after"]["value"][:16]


def test_the_only_thing_there_is_needs_no_name():
    assert pick(None, {"A": 1}, what="thing", where="here") == 1
    assert pick(None, {"A": 1, "B": 2}, what="thing", where="here", default="b") == 2
