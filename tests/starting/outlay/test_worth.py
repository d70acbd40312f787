"""Present value, break-even, tornado and risk, against hand sums and closed forms."""

from dataclasses import replace

import numpy as np
import pytest

from flatstock.starting.outlay.answer import answer
from flatstock.starting.outlay.document import document
from flatstock.starting.outlay.follow import follow
from flatstock.starting.outlay.question import Person, Range
from flatstock.starting.outlay.risk import risk
from flatstock.starting.outlay.team import person_minutes, presence_minutes, team, with_presence
from flatstock.starting.outlay.worth import break_even, changed, monthly_rate, npv, present_value, tornado
from tests.starting.outlay.outlays import M2, a_purchase, an_outlay

ORDERS = {"PRESS": 0, "SAW": 1, "MOULDS": 4, "FANS": 5}


def a_range(of, low, mode, high):
    return Range(of=of, low=low, mode=mode, high=high)


def test_break_even_is_that_of_m3():
    question = replace(M2, fixed=1900.0, weeks=4.3333, yield_=0.94, price=61.0, variable=21.5)
    assert break_even(question) == pytest.approx(12.234, abs=5e-4)


def test_the_monthly_rate_of_nine_percent_a_year_is_that_of_m6():
    assert 100 * monthly_rate(0.09) == pytest.approx(0.7207, abs=5e-5)
    assert (1 + monthly_rate(0.09)) ** 12 == pytest.approx(1.09)


def test_present_value_is_that_of_k6():
    """10 000 now, five times 3000 at 12 %: +814.33 (a public page prints another sum, wrongly)."""
    assert present_value([10_000, 0, 0, 0, 0], [3000] * 5, 0.12) == pytest.approx(814.33, abs=0.005)


def test_present_value_at_the_mode_is_that_of_m4_and_zero_where_m4_says():
    def value(sheets):
        return present_value([20_000, 0, 0, 0, 0], [25 * sheets - 3000] * 5, 0.10)

    assert value(380) == pytest.approx(4640.11, abs=0.005)
    assert value(331.04) == pytest.approx(0, abs=1)


def test_npv_of_a_plan_is_its_hand_sum():
    """Payments at month starts, income at month ends, cash at the start left out."""
    question = replace(M2, discount=0.08)
    made = [0, 0, 5, 8, 8, 15, 15, 15, 16, 16, 16, 16]
    income = [4 * 30 * one - 150 for one in made]
    paid = {0: 6000, 1: 1500, 4: 1000, 5: 300}
    q = 1.08 ** (1 / 12)
    by_hand = sum(income[t] / q ** (t + 1) - paid.get(t, 0) / q**t for t in range(12))
    assert npv(question, ORDERS) == pytest.approx(by_hand, abs=1e-9)


def m5():
    """The press of the hand sum as an outlay of five periods, each a year: rates are turned so that one period is a year."""
    press = a_purchase("PRESS", 20_000, 0, "cannot_press", {"press": 1e6})
    return an_outlay(
        press, months=5, weeks=1.0, cash=0.0, fixed=3000.0, price=35.0, variable=10.0, demand=(380.0,) * 5,
        resources=("press",), have={}, discount=1.10**12 - 1,
        ranges=(
            a_range("demand_per_week", -0.2, 0.0, 0.1),
            a_range("price_per_sheet", -0.1, 0.0, 0.1),
            a_range("cost", -0.05, 0.0, 0.15),
            a_range("fixed_per_month", -0.1, 0.0, 0.2),
            a_range("variable_per_sheet", -0.1, 0.0, 0.1),
        ),
    )  # fmt: skip


def test_the_tornado_is_that_of_m5_widest_first():
    bars = tornado(m5(), {"PRESS": 0})
    assert [bar.of for bar in bars] == [
        "demand_per_week", "price_per_sheet", "cost", "fixed_per_month", "variable_per_sheet"
    ]  # fmt: skip
    assert [bar.width for bar in bars] == pytest.approx(
        [10_803.74, 10_083.49, 4000.00, 3411.71, 2881.00], abs=0.005
    )


def test_the_share_below_nothing_is_that_of_the_closed_form_of_m4():
    """Sheets triangular 200, 380, 440: P(NPV < 0) = F(331.04) = 131.04^2/(240 180) = 0.3975; 3 se of 10 000 runs."""
    only = (a_range("demand_per_week", 200 / 380 - 1, 0.0, 440 / 380 - 1),)
    found = risk(replace(m5(), ranges=only), {"PRESS": 0}, runs=10_000, seed=1)
    assert found.below_zero == pytest.approx(0.3975, abs=0.0147)
    assert found.mean == pytest.approx(849.33, abs=3 * 4832.32 / 100)


def test_the_same_seed_gives_the_same_futures_and_no_ranges_give_one():
    first, second = (risk(m5(), {"PRESS": 0}, runs=500, seed=7) for _ in range(2))
    assert first == second
    sure = risk(replace(m5(), ranges=()), {"PRESS": 0}, runs=50)
    assert sure.p10 == sure.p50 == sure.p90 == pytest.approx(npv(m5(), {"PRESS": 0}))


def test_a_run_at_a_fixed_change_is_the_plan_followed_with_it():
    """The runs and `follow` are two ways of the same rules: leads, yield, demand, costs changed together."""
    ranges = (
        a_range("lead_months", 1.0, 1.0, 1.0), a_range("demand_per_week", -0.3, -0.3, -0.3),
        a_range("yield", -0.05, -0.05, -0.05), a_range("cost", 0.1, 0.1, 0.1), a_range("fixed_per_month", 0.2, 0.2, 0.2),
    )  # fmt: skip
    question = replace(M2, discount=0.08)
    for one in ranges:
        question = changed(question, one.of, one.low)
    assert risk(replace(M2, discount=0.08, ranges=ranges), ORDERS, runs=3).p50 == pytest.approx(
        npv(question, ORDERS)
    )


def test_running_out_of_cash_counts_the_first_twelve_months():
    low = (a_range("demand_per_week", -1.0, -1.0, -1.0),)
    early = risk(replace(M2, ranges=low), ORDERS, runs=10)
    assert early.out_of_cash == 1.0
    late = replace(M2, months=24, demand=(*M2.demand[:12], *(0.0,) * 12), fixed=150.0, cash=8200.0, ranges=())
    late = replace(late, purchases=tuple(replace(p, cost=p.cost) for p in late.purchases))
    found = risk(replace(late, fixed=900.0, cash=15_000.0), ORDERS, runs=5)
    assert found.out_of_cash <= found.out_of_cash_ever


def test_a_triangle_has_the_mean_of_its_three_corners():
    """Plain triangular mean (a + b + c)/3, not the PERT mean of M6 (360 for 200, 380, 440)."""
    found = risk(
        replace(m5(), ranges=(a_range("price_per_sheet", -0.3, 0.0, 0.1),)), {"PRESS": 0}, runs=40_000
    )
    mean_price = 35 * (1 - 0.2 / 3)
    factor = sum(1 / 1.1**t for t in range(1, 6))
    expected = -20_000 + factor * (380 * (mean_price - 10) - 3000)
    assert found.mean == pytest.approx(expected, abs=4 * factor * 380 * 35 * 0.085 / np.sqrt(40_000))


def test_minutes_and_presence_are_those_of_p1():
    assert person_minutes(1) - person_minutes(0) == 37
    assert person_minutes(8) == 386
    assert presence_minutes(8 * 60 + 30, 13 * 60 + 12) == 564


def test_presence_binds_where_two_are_there_on_few_days():
    people = (
        Person(role="lead", hours=40.0, hot=True, days=(0, 1, 2, 3, 4)),
        Person(role="second", hours=16.0, hot=True, days=(0, 1)),
        Person(role="helper", hours=40.0, hot=False, days=(0, 1, 2, 3, 4)),
    )
    crew = team(replace(M2, people=people))
    assert (crew.hot, crew.days_of_two, crew.hours_of_two) == (2, 2.0, 16.0)
    assert crew.by_presence == pytest.approx((16 * 60 - 2 * 45) / 35)
    assert crew.by_presence < crew.by_minutes


def test_volunteers_do_not_count_for_hot_work():
    people = tuple(Person(role=f"V{n}", hours=4.0, hot=False, days=()) for n in range(5))
    assert team(replace(M2, people=people)).by_presence == 0


def hot(role, hours, *days):
    return Person(role=role, hours=float(hours), hot=True, days=days)


def test_a_day_with_one_person_presses_nothing_in_the_capacity_by_month():
    """Two together on Monday alone: 8 h less 45 min of start, clean and hand-over, at 35 min a sheet."""
    alone = replace(M2, people=(hot("lead", 40, 0, 1, 2, 3, 4), hot("second", 8, 0)))
    most = max(one.capacity for one in answer(alone, runs=1).months)
    assert most == pytest.approx((8 * 60 - 45) / 35, abs=1e-5)
    half = with_presence(replace(M2, people=(hot("lead", 40, 0, 1, 2, 3, 4), hot("second", 4, 0))))
    months = follow(half, ORDERS)
    assert months[-1].capacity == pytest.approx((4 * 60 - 45) / 35, abs=1e-5)
    assert months[-1].tightest == ("presence",)


def test_the_presence_that_was_counted_stands_among_the_resources_and_what_there_is_of_them():
    """So that whoever reads the document comes to the same capacities by the least over resources."""
    scarce = replace(M2, people=(hot("lead", 40, 0, 1, 2, 3, 4), hot("second", 4, 0)))
    said = document(answer(scarce, runs=1), shop="", made_at=None)
    assert "presence" in said["resources"]
    assert said["have"]["presence"] == pytest.approx((4 * 60 - 45) / 35, abs=1e-5)
    assert any("counted as the resource presence" in one for one in said["warnings"])


def test_people_without_days_change_no_capacity():
    people = (Person(role="a", hours=4.0, hot=True, days=()), Person(role="b", hours=4.0, hot=True, days=()))
    assert [m.capacity for m in answer(replace(M2, people=people), runs=1).months] == [
        m.capacity for m in answer(M2, runs=1).months
    ]


def test_a_presence_of_ones_own_goes_before_the_one_worked_out():
    people = (hot("lead", 40, 0, 1, 2, 3, 4), hot("second", 4, 0))
    own = replace(M2, people=people, resources=(*M2.resources, "presence"), have={**M2.have, "presence": 3.0})
    assert with_presence(own) is own


def test_sheets_rejected_in_dialling_in_are_made_and_not_sold():
    """Closed form: six sheets of the first month at 35 each are missing at its end, discounted by that month."""
    known = {"PRESS": 0}
    without = risk(replace(m5(), ranges=()), known, runs=1).mean
    tuned = risk(replace(m5(), ranges=(), dial_in=6.0), known, runs=1).mean
    q = m5()
    assert without - tuned == pytest.approx(6 * q.yield_ * q.price / (1 + q.discount) ** (1 / 12))


def test_more_sheets_rejected_than_are_made_go_on_into_the_next_month():
    few = replace(M2, demand=(0.0, 0.0, 1.0, 1.0, *([5.0] * 8)), discount=0.0, dial_in=6.0, ranges=())
    orders = {"PRESS": 0, "SAW": 1}
    lost = risk(replace(few, dial_in=0.0), orders, runs=1).mean - risk(few, orders, runs=1).mean
    assert lost == pytest.approx(6 * few.price * few.yield_)


def test_dialling_in_has_a_range_among_the_futures_and_no_bar_of_its_own():
    ranged = replace(m5(), dial_in=6.0, ranges=(a_range("dial_in_sheets", -0.5, 0.0, 0.7),))
    found = risk(ranged, {"PRESS": 0}, runs=4000)
    assert found.p10 < found.p50 < found.p90
    assert tornado(ranged, {"PRESS": 0}) == []
