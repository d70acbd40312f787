"""Each rule of the judge by a fault planted in a plan that is right but for it."""

import pytest

from flatstock.planning.check import RULES, judge
from tests.planning import (
    planted_given_up,
    planted_in_document,
    planted_in_heating,
    planted_in_places,
    planted_in_steps,
)
from tests.planning.planted_given_up import lose
from tests.planning.small_week import small_week

#: fault, the rule that finds it, and those that rightly find it too
PLANTED = [
    *planted_in_document.PLANTED,
    *planted_in_steps.PLANTED,
    *planted_in_places.PLANTED,
    *planted_in_heating.PLANTED,
    *planted_given_up.PLANTED,
]


@pytest.mark.parametrize(
    ("plant", "rule", "beside"), PLANTED, ids=lambda part: getattr(part, "__name__", None)
)
def test_a_planted_fault_is_found_by_its_rule_and_by_no_other_that_does_not_apply(plant, rule, beside):
    plan = small_week()
    plant(plan)
    assert {one.rule for one in judge(plan)} == {rule} | beside


def test_a_charge_given_up_and_taken_out_cold_is_no_fault():
    plan = small_week()
    lose(plan)
    assert judge(plan) == []


def test_every_rule_finds_a_fault_that_was_planted_for_it():
    assert {rule for _, rule, _ in PLANTED} == set(RULES) - {"too_quick"}  # that one asks the heat model


def test_every_finding_says_what_would_be_right():
    for plant, _, _ in PLANTED:
        plan = small_week()
        plant(plan)
        for one in judge(plan):
            assert one.where
            assert one.what
            assert one.instead
