"""Phases, states and allocations, against sums by hand and brute force."""

import cmath
import time
from dataclasses import replace
from itertools import product
from math import acos, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.starting.supply.allocation import best_allocation, movable, settle
from flatstock.starting.supply.answer import answer
from flatstock.starting.supply.states import states
from flatstock.starting.supply.worst import fits, look_at, needed, placed
from flatstock.workshop.currents import amps_per_phase
from flatstock.workshop.supply import Rule
from tests.starting.supply.supplies import DEMO, EXTRACT, HEAT, PUMP, SAW, SMALL, a_load, a_supply, held


def test_everything_on_in_the_demo_adds_up_to_s1():
    assert look_at(DEMO).arithmetic == pytest.approx((41.04, 41.04, 38.34), abs=0.005)


def test_as_phasors_the_demo_is_under_40_and_over_it_at_high_voltage_as_in_s2():
    worst = look_at(DEMO)
    assert worst.phasor == pytest.approx((38.80, 38.80, 37.21), abs=0.005)
    assert worst.neutral == pytest.approx(3.97, abs=0.005)
    assert worst.high_phasor == pytest.approx((41.32, 41.32, 39.78), abs=0.005)
    assert worst.verdict == "only_by_phase_angle"
    assert worst.over(40.0) == pytest.approx({1: 1.04, 2: 1.04}, abs=0.005)


def test_power_of_the_demo_is_that_of_s11():
    worst = look_at(DEMO)
    assert (worst.power / 1e3, worst.reactive / 1e3, worst.apparent / 1e3) == pytest.approx(
        (25.84, 5.72, 26.47), abs=0.005
    )


def test_no_allocation_of_the_demo_is_better_than_its_own_as_in_s3():
    best = best_allocation(DEMO, movable(DEMO))
    assert best.proven
    assert best.largest == pytest.approx(41.04, abs=0.005)
    assert best.phases == {"PUMP": 1, "EXTRACT": 2, "SMALL": 3}


@pytest.mark.parametrize(
    ("phases", "amps"),
    [({"PUMP": 3}, (32.35, 41.04, 47.04)), ({"PUMP": 1, "EXTRACT": 1, "SMALL": 1}, (55.74, 32.35, 32.35))],
)
def test_other_allocations_are_those_of_s3(phases, amps):
    # the source takes the saw as 3 kW over 0.85; the file rounds that to 3.529 kW
    assert look_at(placed(DEMO, phases)).arithmetic == pytest.approx(amps, abs=0.006)


@pytest.mark.parametrize("share", [9 / 12, 8 / 12])
def test_the_saw_with_nine_elements_is_s4_and_eight_count_as_nine(share):
    """8 of 12 as 3 + 3 + 2 still loads a pair of phases as nine do (S4: 34.63 of 34.55 on 230 V)."""
    worst = look_at(held(DEMO, "SAW", "HEAT", share))
    assert worst.everything_on == pytest.approx((34.55, 34.55, 31.85), abs=0.005)
    assert worst.needed == pytest.approx((34.68, 34.68, 31.98), abs=0.005)  # the saw off, all heaters on
    assert worst.verdict == "fits"


def test_without_saw_and_extract_the_demo_carries_what_s4_says():
    assert look_at(a_supply(HEAT, PUMP, SMALL)).arithmetic == pytest.approx((34.68, 25.98, 31.98), abs=0.005)


def test_duty_is_never_taken_for_current():
    """45 % of the heaters would be 26.75 A on L1, wrong by 14.3 A."""
    on = (
        amps_per_phase(HEAT, DEMO, share=0.45)[0]
        + amps_per_phase(SAW, DEMO)[0]
        + amps_per_phase(PUMP, DEMO)[0]
    )
    assert on == pytest.approx(26.75, abs=0.01)
    assert look_at(DEMO).arithmetic[0] - on == pytest.approx(14.3, abs=0.05)


def test_a_habit_holds_nothing_back():
    assert look_at(held(DEMO, "SAW", "HEAT", 0.0, wired=False)).needed == look_at(DEMO).needed


def test_a_supply_with_room_fits_and_one_far_over_does_not_fit_by_phase_angle():
    assert look_at(replace(DEMO, rated=50.0)).verdict == "fits"
    assert look_at(replace(DEMO, rated=35.0)).verdict == "over"


def test_a_sum_that_comes_out_at_the_rating_fits():
    assert look_at(replace(DEMO, rated=max(look_at(DEMO).needed))).verdict == "fits"


def test_under_nec_what_is_on_for_three_hours_counts_at_a_quarter_more():
    """NEC 210.20(A), read: a 24 A heater that is on for three hours needs 30 A."""
    heater = a_load("H", 24 * 0.24, "LL", control="on_off", continuous=True)
    legs = a_supply(heater, phases=1, volts_LL=240.0, volts_LN=120.0, rule="NEC", rated=30.0)
    assert look_at(legs).arithmetic == pytest.approx((24.0, 24.0))
    assert look_at(legs).needed == pytest.approx((30.0, 30.0))
    assert look_at(legs).verdict == "fits"
    assert look_at(replace(legs, rated=29.9)).verdict != "fits"


def test_loads_on_277_volts_are_told_that_no_ordinary_plug_takes_it_and_on_120_they_are_not():
    def told(volts, *loads):
        supply = a_supply(*loads, volts_LL=volts * sqrt(3), volts_LN=volts, rule="NEC")
        return [words for words in answer(supply, None).warnings if "ordinary plug" in words]

    (words,) = told(277.0, HEAT, SMALL)
    assert "277 V: SMALL." in words
    assert told(120.0, HEAT, SMALL) == told(277.0, HEAT, SAW) == []


@pytest.mark.parametrize(("demand", "with_interlock", "cost"), [(7.5, False, 193.80), (7.5, True, 160.05)])
def test_the_demand_charge_is_that_of_s13(demand, with_interlock, cost):
    """25.84 kW at 7.5; 9 of 12 elements all the time here, since an interlock alone lets all heat with the saw off."""
    heat = replace(HEAT, power=13_500.0, elements=9) if with_interlock else HEAT
    supply = a_supply(heat, SAW, PUMP, EXTRACT, SMALL, demand_price=demand / 1000)
    assert answer(supply, None).month.demand_cost == pytest.approx(cost, abs=0.01)


one_phase = st.builds(
    lambda kW, pf, pair: ("LL" if pair else "LN", kW, pf), st.floats(0.1, 6), st.floats(0.5, 1), st.booleans()
)


def made(several, **changes):
    loads = [
        a_load(f"X{n}", kW, connection, power_factor=pf, phase=1)
        for n, (connection, kW, pf) in enumerate(several)
    ]
    return a_supply(HEAT, SAW, *loads, **changes)


@given(st.lists(one_phase, min_size=1, max_size=5), st.sampled_from([1.0, 0.75, 0.5, 0.0]))
def test_the_best_allocation_is_that_of_trying_all(several, share):
    """3^n by hand, with the sums written apart; the first one-phase load holds the heaters back."""
    supply = made(several)
    if share < 1:
        supply = held(supply, "X0", "HEAT", share)
    names = [f"X{n}" for n in range(len(several))]

    def largest(phases):
        worst = 0.0
        for first_on in (True, False) if share < 1 else (True,):
            lines = [0.0, 0.0, 0.0]
            heat = 18_000 / sqrt(3) / 400 * (share if first_on and share < 1 else 1)
            saw = 3529 / sqrt(3) / 400 / 0.8
            lines = [x + heat + saw for x in lines]
            for n, (connection, kW, pf) in enumerate(several):
                if n == 0 and not first_on:
                    continue
                amps = kW * 1000 / pf / (400 if connection == "LL" else 230)
                lines[phases[n]] += amps
                if connection == "LL":
                    lines[(phases[n] + 1) % 3] += amps
            worst = max(worst, *lines)
        return worst

    least = min(largest(way) for way in product(range(3), repeat=len(several)))
    found = best_allocation(supply, movable(supply))
    assert found.largest == pytest.approx(least, abs=1e-9)
    assert largest([found.phases[name] - 1 for name in names]) == pytest.approx(least, abs=1e-9)


def test_more_than_twelve_loads_are_allocated_too_and_say_whether_that_is_proven():
    supply = made([("LN", 1.0 + n / 10, 0.9) for n in range(14)])
    found = best_allocation(supply, movable(supply))
    total = sum(look_at(placed(supply, found.phases)).needed)
    assert found.largest >= total / 3 - 1e-9
    assert found.largest == pytest.approx(max(look_at(placed(supply, found.phases)).needed))
    assert found.largest < total / 3 * 1.03


def test_equal_loads_beyond_twelve_are_proven():
    supply = made([("LN", 1.15, 1.0)] * 15)
    found = best_allocation(supply, movable(supply))
    assert found.proven
    assert found.largest == pytest.approx(25.9808 + 6.3671 + 5 * 5.0, abs=1e-3)


def test_a_load_that_is_fixed_stays_where_it_is():
    supply = a_supply(*(a_load(f"X{n}", 2.3, phase=1, fixed=n < 2) for n in range(3)))
    found = best_allocation(supply, movable(supply))
    assert set(found.phases) == {"X2"}
    assert found.largest == pytest.approx(20.0)


def test_a_load_whose_phase_nobody_wrote_is_counted_where_it_is_best():
    supply = settle(a_supply(a_load("A", 2.3, phase=1), a_load("B", 2.3), a_load("C", 2.3, phase=3)))
    assert {one.id: one.phase for one in supply.loads} == {"A": 1, "B": 2, "C": 3}


@given(st.lists(one_phase, min_size=1, max_size=5), st.data())
def test_an_interlock_never_raises_a_phase(several, data):
    supply = made(several)
    names = [one.id for one in supply.loads]
    when = data.draw(st.sampled_from(names))
    then = data.draw(st.sampled_from([name for name in names if name != when]))
    after = look_at(held(supply, when, then, data.draw(st.sampled_from([0.0, 0.25, 0.5, 0.75]))))
    assert all(b <= a + 1e-9 for a, b in zip(look_at(supply).needed, after.needed, strict=True))


@given(st.lists(one_phase, min_size=0, max_size=6))
def test_phasors_are_those_of_complex_arithmetic_written_apart(several):
    """Volts to neutral 230 at 0, -120, 120 degrees; a load between lines sees the difference of two of them."""
    supply = made(several)
    turn = [cmath.rect(1, -2 * cmath.pi / 3 * n) for n in range(3)]
    lines = [0j, 0j, 0j]
    for (
        power,
        pf,
    ) in ((18_000, 1.0), (3529, 0.8)):
        for n in range(3):
            lines[n] += power / sqrt(3) / 400 / pf * turn[n] * cmath.exp(-1j * acos(pf))
    for connection, kW, pf in several:
        lag = cmath.exp(-1j * acos(pf))
        if connection == "LN":
            lines[0] += kW * 1000 / 230 / pf * turn[0] * lag
        else:
            across = (turn[0] - turn[1]) / sqrt(3)
            lines[0] += kW * 1000 / 400 / pf * across * lag
            lines[1] -= kW * 1000 / 400 / pf * across * lag
    worst = look_at(supply)
    assert worst.phasor == pytest.approx([abs(one) for one in lines], abs=1e-9)
    assert worst.neutral == pytest.approx(abs(sum(lines)), abs=1e-9)


def test_two_loads_that_exclude_each_other_are_never_on_together():
    supply = held(a_supply(SAW, PUMP, EXTRACT), "SAW", "PUMP", 0.0)
    assert all(state["SAW"] == 0 or state["PUMP"] == 0 for state in states(supply))
    assert len(states(supply)) == 2


@given(st.lists(one_phase, min_size=1, max_size=5), st.data())
def test_naming_the_phases_in_another_turn_moves_the_amperes_with_them(several, data):
    supply = made(several)
    phases = {f"X{n}": data.draw(st.sampled_from([1, 2, 3])) for n in range(len(several))}
    before = look_at(placed(supply, phases))
    after = look_at(placed(supply, {name: p % 3 + 1 for name, p in phases.items()}))
    turned = (before.arithmetic[-1], *before.arithmetic[:-1])
    assert after.arithmetic == pytest.approx(turned, abs=1e-9)
    assert after.neutral == pytest.approx(before.neutral, abs=1e-9)
    assert after.verdict == before.verdict


@given(st.lists(one_phase, min_size=1, max_size=4), st.floats(0.0, 3.0))
def test_a_load_more_never_lowers_a_phase(several, kW):
    supply = made(several)
    more = replace(supply, loads=(*supply.loads, a_load("MORE", kW, phase=2)))
    assert all(b >= a - 1e-9 for a, b in zip(look_at(supply).needed, look_at(more).needed, strict=True))


def test_the_demand_with_an_interlock_is_that_of_its_dearest_state():
    """160.05 is the saw on with nine elements, 21.34 kW; with the saw off and all twelve on it is 22.31 kW."""
    ruled = held(replace(DEMO, demand_price=7.5 / 1000), "SAW", "HEAT", 0.75)
    assert answer(ruled, None).month.demand_cost == pytest.approx(7.5 * (25.839 - 3.529), abs=0.005)


def test_twelve_one_phase_loads_with_six_interlocks_are_answered_at_once():
    """The target is 2 s for twelve loads; 0.3 s of CPU time as measured, more where much else runs."""
    loads = [
        a_load(f"X{n}", 0.4 + 0.15 * n, power_factor=0.75 + 0.02 * n, control="motor", phase=1)
        for n in range(12)
    ]
    rules = tuple(Rule(when=f"X{n}", then="HEAT", share=0.75, wired=True) for n in range(6))
    asked = a_supply(HEAT, *loads, rules=rules)
    began = time.process_time()
    found = answer(asked, None)
    assert time.process_time() - began < 4
    assert found.allocation.proven


RULED = ("X0", "X1", "X2", "X3", "HEAT", "SAW")
several_rules = st.lists(
    st.tuples(st.sampled_from(RULED), st.sampled_from(RULED), st.sampled_from([0.0, 0.25, 0.6, 0.75])).filter(
        lambda rule: rule[0] != rule[1]
    ),
    max_size=6,
)


def with_rules(rules):
    loads = [a_load(f"X{n}", 0.5 + 0.4 * n, phase=1 + n % 3) for n in range(4)]
    return a_supply(
        HEAT, SAW, *loads, rules=tuple(Rule(when=w, then=t, share=s, wired=True) for w, t, s in rules)
    )


def states_one_by_one(supply):
    """Each choice of which loads that hold others are on, in plain loops; whatever is under another left out."""
    holders = sorted({rule.when for rule in supply.rules})
    found = []
    for on in product((True, False), repeat=len(holders)):
        running = {name for name, runs in zip(holders, on, strict=True) if runs}
        state = {}
        for load in supply.loads:
            held_to = [r.share for r in supply.rules if r.then == load.id and r.when in running]
            share = min(held_to, default=1.0)
            if load.elements:  # twelve in balanced threes
                share = -(-int(share * 12 + 1e-9) // 3) * 3 / 12
            state[load.id] = 0.0 if load.id in holders and load.id not in running else share
        if all(state[name] > 0 for name in running) and state not in found:
            found.append(state)
    return [a for a in found if not any(a != b and all(a[n] <= b[n] for n in a) for b in found)]


@given(several_rules)
def test_the_states_are_those_of_plain_enumeration_in_its_order(rules):
    supply = with_rules(rules)
    assert states(supply) == states_one_by_one(supply)


@given(several_rules, st.sampled_from([30.0, 40.0, 50.0, 63.0]))
def test_the_quick_look_says_what_the_whole_one_says(rules, rated):
    supply = replace(with_rules(rules), rated=rated)
    whole = look_at(supply)
    assert needed(supply) == pytest.approx(whole.needed, abs=1e-9)
    assert fits(supply) == (whole.verdict == "fits")
