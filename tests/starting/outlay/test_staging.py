"""Orders in their months: two plans worked out apart, one over all its 28 561 plans, and brute force."""

import random
from dataclasses import replace

import pytest

from flatstock.starting.outlay.check import faults
from flatstock.starting.outlay.follow import capacity, first_sale, follow, keeps_cash
from flatstock.starting.outlay.nexts import nexts
from flatstock.starting.outlay.question import Person
from flatstock.starting.outlay.stage import stage
from tests.starting.outlay.outlays import (
    FANS,
    M2,
    MOULDS,
    PRESS,
    SAW,
    a_purchase,
    an_outlay,
    best_of_all,
    key_of,
    random_outlay,
    without,
)


def test_the_best_plan_of_m2_leaves_13_200():
    staged = stage(M2)
    assert staged.cash_end == pytest.approx(13_200)
    assert staged.bound == pytest.approx(13_200)
    assert staged.status == "optimal"
    assert staged.orders["MOULDS"] == 4


@pytest.mark.parametrize("left_out", [("MOULDS",), ("FANS",), ("MOULDS", "FANS")])
def test_without_one_of_the_pair_m2_leaves_8_140(left_out):
    """Two that give nothing alone: M2."""
    assert stage(without(M2, *left_out)).cash_end == pytest.approx(8140)


def test_the_plan_worked_out_apart_is_the_best_of_its_28_561():
    key, orders = best_of_all(M2)
    assert key[0] == -13_200
    assert follow(M2, orders)[-1].end == pytest.approx(stage(M2).cash_end)


@pytest.mark.parametrize("seed", range(60))
def test_the_plan_is_the_best_of_all(seed):
    """Needs, running costs, overdrafts, leads: against following every plan there is, ties included."""
    draw = random.Random(seed)
    question = random_outlay(draw, purchases=draw.choice([2, 3, 4]), months=draw.choice([4, 5]))
    best, staged = best_of_all(question), stage(question)
    if best is None:
        assert staged.orders is None
        assert staged.status == "impossible"
    else:
        assert key_of(question, follow(question, staged.orders), staged.orders) == best[0]
        assert faults(question, staged.orders, cash_end=staged.cash_end) == []


@pytest.mark.parametrize("seed", range(60))
def test_more_cash_never_ends_with_less_earned(seed):
    question = random_outlay(random.Random(seed), purchases=5, months=8)
    more = replace(question, cash=question.cash + 700)
    before, after = stage(question), stage(more)
    if before.orders is not None:
        assert after.cash_end - more.cash >= before.cash_end - question.cash - 1e-6


def test_capacity_is_that_of_the_tightest_as_in_m1():
    base = {"press": 48.0, "moulds": 16.0, "cooling": 20.0, "people": 32.0, "saw": 80.0}
    question = an_outlay(
        a_purchase("MOULDS", gives={"moulds": 16.0}), a_purchase("COOLER", gives={"cooling": 20.0}),
        a_purchase("PRESS", gives={"press": 48.0}), resources=tuple(base), have=base, demand=(50.0,) * 12,
    )  # fmt: skip
    assert capacity(question, [])[0] == 16
    assert capacity(question, ["MOULDS"]) == (20, ("cooling",))
    assert capacity(question, ["COOLER"])[0] == 16
    assert capacity(question, ["MOULDS", "COOLER"])[0] == 32
    assert capacity(question, ["PRESS"])[0] == 16


def test_the_pair_that_doubles_output_comes_before_singles_that_do_little():
    listed = nexts(M2)
    assert listed[0].buy == ("MOULDS", "FANS")
    assert listed[0].sheets == 16
    assert listed[0].payback == pytest.approx(1300 / (8 * 4 * 30))
    assert {one.buy: one.payback for one in listed}[("FANS",)] is None


def test_nothing_is_pressed_before_the_guard_is_there():
    guard = a_purchase("GUARD", 1400, 2, "cannot_press_safely", needs=["PRESS"])
    question = an_outlay(PRESS, SAW, guard, cash=12_000.0)
    staged = stage(question)
    months = follow(question, staged.orders)
    arrives = max(staged.orders[one.id] + one.lead for one in question.purchases)
    assert all(one.made == 0 for one in months[:arrives])
    assert first_sale(months) == arrives


def test_a_plan_that_presses_before_the_guard_is_a_fault():
    guard = a_purchase("GUARD", 1400, 1, "cannot_press_safely")
    question = an_outlay(PRESS, SAW, guard, cash=12_000.0)
    assert follow(question, {"PRESS": 0, "SAW": 0})[-1].made == 0


def test_what_is_needed_to_sell_and_can_not_be_paid_leaves_no_sale():
    staged = stage(replace(M2, cash=5000.0))
    assert staged.orders == {}
    assert staged.cash_end == pytest.approx(5000 - 12 * 150)


def test_a_shop_that_can_not_even_stand_still_has_no_plan():
    assert stage(replace(M2, cash=1000.0, fixed=400.0)).orders is None


def test_sheets_that_lose_money_are_no_reason_to_buy():
    assert stage(replace(M2, variable=31.0)).orders == {}


def test_a_purchase_that_gives_nothing_is_not_bought():
    question = an_outlay(PRESS, SAW, MOULDS, FANS, a_purchase("PRINTER", 380, necessity="nicer"))
    assert "PRINTER" not in stage(question).orders


def test_a_running_cost_is_paid_only_from_when_it_earns():
    helper = a_purchase("HELPER", 0, 0, gives={"people": 20.0}, running=500)
    question = an_outlay(
        helper, resources=("people",), have={"people": 5.0}, demand=(5.0,) * 6 + (20.0,) * 6, fixed=0.0
    )
    assert stage(question).orders == {"HELPER": 6}


def test_one_person_for_hot_work_presses_nothing():
    alone = (Person(role="lead", hours=38.0, hot=True, days=()),)
    assert stage(replace(M2, people=alone)).orders == {}
    two = (*alone, Person(role="second", hours=38.0, hot=True, days=()))
    assert stage(replace(M2, people=two)).cash_end == pytest.approx(13_200)


def test_two_people_who_never_meet_press_nothing():
    apart = tuple(
        Person(role=f"R{n}", hours=16.0, hot=True, days=days) for n, days in enumerate([(0, 1), (3, 4)])
    )
    assert not replace(M2, people=apart).two_hands


def mutated(orders):
    yield {**orders, "MOULDS": orders["MOULDS"] - 1}, "under"
    yield {**orders, "PRESS": 12}, "outside 0 to 11"
    yield {**orders, "X": 0}, "no purchase"


@pytest.mark.parametrize("number", range(3))
def test_the_judge_refuses_a_changed_plan(number):
    orders = {"PRESS": 0, "SAW": 1, "MOULDS": 4, "FANS": 5}
    assert faults(M2, orders, cash_end=13_200.0) == []
    changed, says = list(mutated(orders))[number]
    tight = replace(M2, cash=7800.0) if says == "under" else M2
    assert any(says in one for one in faults(tight, changed))


def test_the_judge_refuses_needs_out_of_order_and_a_wrong_sum():
    question = an_outlay(PRESS, SAW, replace(MOULDS, needs=("SAW",)), FANS)
    assert any("before SAW" in one for one in faults(question, {"PRESS": 0, "SAW": 3, "MOULDS": 1}))
    assert any("without SAW" in one for one in faults(question, {"MOULDS": 1}))
    assert any("not 1.00" in one for one in faults(question, {}, cash_end=1.0))


def test_cash_is_judged_after_paying_and_not_only_at_the_end():
    question = an_outlay(replace(FANS, cost=500.0), resources=("cooling",), have={"cooling": 20.0}, cash=100.0,
                         fixed=0.0, demand=(20.0,) * 12)  # fmt: skip
    assert not keeps_cash(question, follow(question, {"FANS": 0}))
    assert keeps_cash(question, follow(question, {"FANS": 1}))
