"""What would help an overloaded supply, each worked out again on the whole of it."""

from dataclasses import replace

import pytest

from flatstock.starting.supply.answer import answer
from flatstock.starting.supply.oven import oven_of
from flatstock.starting.supply.remedies import remedies
from flatstock.starting.supply.worst import look_at
from tests.starting.supply.supplies import DEMO, HEAT, PUMP, SAW, a_load, a_supply


def by_words(supply):
    return {one.what: one for one in remedies(supply, oven_of(supply, None))}


def test_story_11_moving_the_pump_only_moves_the_overload():
    moved = by_words(DEMO)["move PUMP from L1 to L3"]
    assert moved.worst.arithmetic == pytest.approx((32.4, 41.0, 47.0), abs=0.06)
    assert not moved.fits
    assert moved.note == "only moves the overload: now L2 and L3"


def test_story_11_the_real_answers_are_an_interlock_and_a_larger_supply():
    found = by_words(DEMO)
    first = next(iter(found.values()))
    assert first.what == "an interlock: HEAT on 9 of 12 elements while SAW runs"
    assert first.worst.everything_on == pytest.approx((34.55, 34.55, 31.85), abs=0.005)
    assert first.fits
    larger = found["a connection of 3 x 50 A in place of 40 A"]
    assert larger.fits


def test_the_interlock_costs_at_most_the_longer_heat_up():
    """C/UA ln(P/(P - UA dT)) by hand: 53.85 min at 13.5 kW less 39.48 min at 18 kW."""
    assert next(iter(by_words(DEMO).values())).minutes_per_day == pytest.approx(14.4, abs=0.1)


def test_every_remedy_that_is_said_to_fit_is_under_the_rating_on_every_phase():
    for one in remedies(DEMO, oven_of(DEMO, None)):
        assert one.fits == (max(one.worst.needed) <= (one.rated or DEMO.rated))


def test_nothing_is_proposed_where_nothing_is_over():
    assert remedies(replace(DEMO, rated=63.0), oven_of(DEMO, None)) == []


def test_a_better_allocation_is_found_where_there_is_one():
    supply = a_supply(HEAT, *(a_load(f"X{n}", 1.5, phase=1) for n in range(3)))
    first = remedies(supply, oven_of(supply, None))[0]
    assert first.what.startswith("move ")
    assert first.fits
    assert first.minutes_per_day == 0


def test_two_interlocks_are_tried_where_one_is_not_enough():
    supply = a_supply(a_load("OVEN", 20.0, "3P", control="on_off"), SAW, PUMP, rated=33.0)
    fitting = [one for one in remedies(supply, oven_of(supply, None)) if one.fits]
    assert any("; and " in one.what for one in fitting)


def test_the_worst_after_a_remedy_is_that_of_the_supply_with_it():
    from flatstock.workshop.supply import Rule

    ruled = replace(DEMO, rules=(Rule(when="SAW", then="HEAT", share=0.75, wired=True),))
    assert next(iter(by_words(DEMO).values())).worst == look_at(ruled)


def test_a_supply_that_fits_says_when_high_voltage_takes_it_over():
    said = answer(replace(DEMO, rated=42.0), None)
    assert said.verdict == "fits"
    assert any("10 % up" in words for words in said.warnings)


def test_a_generator_smaller_than_what_runs_is_over_whatever_its_breaker():
    assert answer(replace(DEMO, kind="generator", generator=25e3, rated=63.0), None).verdict == "over"
    near = answer(replace(DEMO, kind="generator", generator=30e3, rated=63.0), None)
    assert near.verdict == "fits"
    assert any("80 %" in words for words in near.warnings)


def test_an_interlock_beside_fewer_elements_counts_the_elements_that_are_left():
    """1 x 32 A: 4 elements of 1.5 kW, 6.52 A each. Three at all times, two of them while the pump runs: 27.7 A."""
    heat = a_load("HEAT", 6.0, control="on_off", elements=4, phase=1)
    small = a_load("SMALL", 1.31, power_factor=0.95, phase=1)
    supply = a_supply(heat, replace(PUMP, phase=1), small, phases=1, volts_LL=None, rated=32.0)
    fitting = {one.what: one for one in remedies(supply, oven_of(supply, None)) if one.fits}
    words = "HEAT on 3 of 4 elements at all times; and an interlock: HEAT on 2 of 4 elements while PUMP runs"
    assert fitting[words].worst.needed == pytest.approx((27.73,), abs=0.005)


def test_two_presses_may_be_held_apart():
    two = a_supply(HEAT, replace(HEAT, id="HEAT2"), rated=40.0)
    assert "an interlock: HEAT2 on 6 of 12 elements while HEAT is on" in by_words(two)


def test_what_is_on_all_day_is_no_reason_to_hold_heaters_back():
    assert not any("while SMALL" in words for words in by_words(replace(DEMO, rated=33.0)))


def test_a_start_that_asks_more_than_the_generator_has_is_for_its_maker():
    """The demo's saw: 44.57 A at 400 V for a moment, 30.9 kVA."""
    said = answer(replace(DEMO, kind="generator", generator=28e3, rated=63.0), None).warnings
    assert any("SAW about 31 kVA of a generator of 28 kVA" in words for words in said)
    assert not any(
        "SAW about" in words
        for words in answer(replace(DEMO, kind="generator", generator=50e3), None).warnings
    )


def test_elements_so_few_that_the_press_stays_cold_are_no_way_out():
    """One element of three leaves 2 kW; the press of the demo's mass loses 2.124 kW at 195 °C, by 12 W/K over 177 K."""
    heat = a_load("HEAT", 6.0, phase=1, control="on_off", elements=3)
    supply = a_supply(heat, a_load("OTHER", 4.6, phase=1), phases=1, volts_LL=None, rated=32.0)
    found = by_words(supply)
    assert look_at(supply).verdict != "fits"
    assert found
    assert not [what for what in found if "HEAT on 1 of 3 elements at all times" in what]
