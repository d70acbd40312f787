"""Stacks that are refused: too many, too heavy, too high, too hot, or laid by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.errors import Refused
from flatstock.pressing.questions import StackQuestion
from flatstock.pressing.stack import answer_stack

from .conftest import MONDAY, mould


def test_more_moulds_than_a_place_takes_are_refused(stack, a_mould):
    with pytest.raises(Refused, match="9 moulds are more than it takes, 8"):
        stack(*(a_mould(hours=i / 10) for i in range(9)))


def test_a_stack_heavier_than_its_place_bears_is_refused(shop):
    place = replace(shop.stacks["ST1"], mass_max=100.0)
    weak = replace(shop, stacks={"ST1": place})
    with pytest.raises(Refused, match="2 moulds weigh 136 kg, more than it bears, 100 kg"):
        answer_stack(weak, StackQuestion(moulds=(mould(), mould()), at=MONDAY + timedelta(hours=5)))


def test_a_stack_higher_than_the_daylight_is_refused(shop):
    low = replace(shop, cooling_presses={"CP1": replace(shop.cooling_presses["CP1"], daylight=0.030)})
    with pytest.raises(Refused, match="2 moulds stand 32 mm high, more than its daylight of 30 mm"):
        answer_stack(
            low, StackQuestion(moulds=(mould(), mould()), at=MONDAY + timedelta(hours=5), place="CP1")
        )


def without_lift(shop):
    return replace(shop, places={k: p for k, p in shop.places.items() if p.kind != "lift"})


def test_a_stack_that_would_have_to_be_lifted_by_hand_is_refused(shop):
    ask = StackQuestion(moulds=(mould(), mould()), at=MONDAY + timedelta(hours=5))
    with pytest.raises(Refused, match="a mould of 68 kg would be lifted onto another by hand"):
        answer_stack(without_lift(shop), ask)


def test_one_mould_by_itself_or_moulds_on_a_rack_need_no_lifting_aid(shop):
    for ask in (
        StackQuestion(moulds=(mould(),), at=MONDAY + timedelta(hours=5)),
        StackQuestion(moulds=(mould(), mould()), at=MONDAY + timedelta(hours=5), place="R1"),
    ):
        assert answer_stack(without_lift(shop), ask).document["moulds"]


def test_a_lift_that_does_not_bear_the_mould_does_not_count(shop):
    weak = {k: replace(p, load_max=50.0) if p.kind == "lift" else p for k, p in shop.places.items()}
    ask = StackQuestion(moulds=(mould(), mould()), at=MONDAY + timedelta(hours=5))
    with pytest.raises(Refused, match="no lifting aid that bears it"):
        answer_stack(replace(shop, places=weak), ask)


def test_a_core_hotter_than_its_plastic_may_be_pressed_is_refused(stack, a_mould):
    with pytest.raises(Refused, match="a core of 260 °C is hotter than HDPE may be pressed, 220 °C"):
        stack(a_mould(core=260.0))


def test_moulds_that_arrive_after_the_moment_asked_for_are_refused(stack, a_mould):
    with pytest.raises(Refused, match="it arrives after the moment asked for"):
        stack(a_mould(hours=30))


def test_a_stack_of_nothing_is_refused(stack):
    with pytest.raises(Refused, match="no mould is named"):
        stack()


def test_an_unknown_place_is_refused_with_those_there_are(stack, a_mould):
    with pytest.raises(Refused, match="no place for a stack 'ST9'.*ST1"):
        stack(a_mould(), place="ST9")


def test_two_moulds_of_one_name_are_refused_for_nobody_could_tell_them_apart(stack, a_mould):
    with pytest.raises(Refused, match="--mould A: 2 moulds have this name; give each its own"):
        stack(replace(a_mould(), name="A"), replace(a_mould(hours=1), name="A"))


def test_a_name_that_an_unnamed_mould_already_goes_by_is_refused(stack, a_mould):
    with pytest.raises(Refused, match="--mould M2: 2 moulds have this name"):
        stack(replace(a_mould(), name="M2"), a_mould(hours=1))


def test_every_mould_at_fault_is_named_at_once(stack, a_mould):
    with pytest.raises(Refused) as refusal:
        stack(
            replace(a_mould(), plastic="hdpx"),
            a_mould(hours=1),
            replace(a_mould(hours=2), plastic="pvc"),
        )
    assert [fault.where for fault in refusal.value.faults] == ["--mould M1", "--mould M3"]
