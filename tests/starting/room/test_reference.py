"""Ways, corners, floors, air and fire load on given numbers.

Unless a source is named the expected value was computed apart from the formula and inputs shown.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.starting.room.check.deciding import floor_pressure
from flatstock.starting.room.corner import equal_ways, longest_ladder, widest_load
from flatstock.starting.room.move_in import diagonal, tilt_back, tilt_to_pass, top_when_tilted
from flatstock.starting.room.surroundings import air
from flatstock.starting.room.surroundings.fire import Burning, fire_load, heat_of, most_stock, total_heat

# ---------------------------------------------------------------- T: loads, presses, floors


def test_equal_ways_for_a_rigid_load():
    """1.25 x 0.85 m: 1.0430; with 0.1 m a side 1.2551; (b + l / 2) / sqrt 2."""
    assert equal_ways(1.25, 0.85) == pytest.approx(1.0430, abs=5e-5)
    assert equal_ways(1.45, 1.05) == pytest.approx(1.2551, abs=5e-5)


def test_the_longest_ladder_round_a_corner():
    """Ways of 1.2 and 0.9 m: 2.9597 m, the astroid."""
    assert longest_ladder(1.2, 0.9) == pytest.approx(2.9597, abs=5e-5)


def test_the_widest_load_round_a_corner():
    """A load 1.5 m long, 1.2 m into 1.0 m and into 1.1 m: 0.7987 and 0.8745 m."""
    assert widest_load(1.2, 1.0, 1.5) == pytest.approx(0.7987, abs=5e-5)
    assert widest_load(1.2, 1.1, 1.5) == pytest.approx(0.8745, abs=5e-5)


@given(st.floats(0.5, 3), st.floats(0.5, 4))
def test_the_widest_load_of_equal_ways_is_that_of_the_closed_form(way, length):
    closed = way * math.sqrt(2) - length / 2
    free = min(way * math.cos(t) + way * math.sin(t) - length * math.sin(t) * math.cos(t)
               for t in (n * math.pi / 2000 for n in range(1001)))  # fmt: skip
    found = widest_load(way, way, length)
    assert found == pytest.approx(max(0, min(way, free)), abs=1e-5)
    if length > 2 * way * (math.sqrt(2) - 1) * 2:
        assert found == pytest.approx(max(0, min(way, closed)), abs=1e-5)


@given(st.floats(0.5, 3), st.floats(0.5, 3))
def test_a_load_as_long_as_the_ladder_has_no_width_left(p, q):
    assert widest_load(p, q, longest_ladder(p, q)) == pytest.approx(0, abs=1e-6)


def test_a_press_tilted_under_a_door_rises_first():
    """2.10 high, 1.30 deep, door 2.00 m: top at 10 degrees 2.294 m, tilt 67.69 degrees, ceiling 2.470 m."""
    assert top_when_tilted(2.10, 1.30, 10) == pytest.approx(2.294, abs=5e-4)
    assert top_when_tilted(2.10, 1.30, 10) > 2.10
    assert tilt_to_pass(2.10, 1.30, 2.00) == pytest.approx(67.69, abs=5e-3)
    assert diagonal(2.10, 1.30) == pytest.approx(2.470, abs=5e-4)


def test_a_shallower_press_tilts_less():
    """0.90 deep: tilt 52.11, back under its own height after 46.40 degrees, ceiling 2.285 m."""
    assert tilt_to_pass(2.10, 0.90, 2.00) == pytest.approx(52.11, abs=5e-3)
    assert tilt_back(2.10, 0.90) == pytest.approx(46.40, abs=5e-3)
    assert diagonal(2.10, 0.90) == pytest.approx(2.285, abs=5e-4)


@given(st.floats(0.5, 3), st.floats(0.3, 2), st.floats(0.5, 3))
def test_at_the_least_tilt_the_top_is_as_high_as_the_door(height, depth, clear):
    angle = tilt_to_pass(height, depth, clear)
    if angle is None:
        assert depth > clear
    elif angle > 0:
        assert top_when_tilted(height, depth, angle) == pytest.approx(clear, rel=1e-9)
        assert tilt_back(height, depth) <= angle + 1e-9
        assert angle <= 90 + 1e-9


@pytest.mark.parametrize(
    ("mass", "length", "width", "expected", "digits"),
    [(1450, 1700, 1300, 6.436, 5e-4), (400, 1200, 800, 4.088, 5e-4), (800, 1200, 800, 8.175, 5e-4)],
)
def test_the_floor_under_a_press_and_under_flake_boxes(mass, length, width, expected, digits):
    """With g 9.81; a pallet of 800 kg on 1.2 x 0.8 m: 8.18 kN/m2 (source read)."""
    assert floor_pressure(mass, length * width) == pytest.approx(expected, abs=digits)
    assert pytest.approx(2.845, abs=5e-4) == 1450 * 9.81 / 5000


def test_a_stack_of_sheets_on_the_floor():
    """40 PP sheets of 1 m2 and 10 mm at 905 kg/m3: 362 kg, 3.55 kN/m2."""
    assert floor_pressure(40 * 1 * 0.010 * 905, 1_000_000) == pytest.approx(3.55, abs=5e-3)


# ---------------------------------------------------------------- A and I: air


def test_heat_of_the_make_up_air():
    """At 15 K, rho 1.2, cp 1.005: 1170 and 5560 m3/h take 5.88 and 27.9 kW."""
    assert air.make_up_heat(1170 / 3600, 15) == pytest.approx(5880, abs=5)
    assert air.make_up_heat(5560 / 3600, 15) == pytest.approx(27_900, abs=60)
    assert air.make_up_heat(1.0, -5) == 0


def test_changes_of_the_demos_air():
    """175.17 m3: 6.68 and 31.7 changes an hour."""
    assert air.air_changes(1170 / 3600, 175.17) == pytest.approx(6.68, abs=5e-3)
    assert air.air_changes(5560 / 3600, 175.17) == pytest.approx(31.7, abs=0.05)


def test_changes_of_a_room_in_feet():
    """20 x 14 x 12 ft, 560 cubic feet a minute: 10.0 an hour (volume read)."""
    cubic_foot = 0.3048**3
    assert air.air_changes(560 / 60 * cubic_foot, 20 * 14 * 12 * cubic_foot) == pytest.approx(10.0)


def test_twenty_grams_of_styrene_an_hour_take_1408_m3_of_air_to_dilute():
    """20 g/h, K 3, target 10 ppm at 4.26 mg/m3 a ppm: 1408 m3/h (form read)."""
    assert air.dilution_flow(20, 3, 10 * 4.26) * 3600 == pytest.approx(1408, rel=1e-3)


def test_a_constant_source_in_a_mixed_room():
    """3000 mg/h into 480 m3/h: 6.25 mg/m3 in the end."""
    assert air.steady_concentration(3000, 480) == 6.25


@pytest.mark.parametrize(
    ("mass", "expected"), [(104.15, 4.260), (36.46, 1.491), (30.03, 1.228), (56.06, 2.293)]
)
def test_what_a_ppm_of_a_gas_weighs(mass, expected):
    """At 25 degrees, M / 24.45: styrene (published 4.26, read), HCl, formaldehyde, acrolein."""
    assert air.mg_per_m3(mass) == pytest.approx(expected, abs=1e-3)


def test_air_into_a_canopy():
    """1.4 P H V with 4 m, 0.6 m, 0.25 m/s: 0.84 m3/s (ACGIH manual, from memory)."""
    assert air.canopy_flow(4, 0.6, 0.25) == pytest.approx(0.84)


def test_air_into_an_opening():
    """V (10 X2 + A), 0.5 m, 0.09 m2, 0.5 m/s: 1.295, with a flange 0.971 m3/s (Dalla Valle, from memory)."""
    assert air.opening_flow(0.5, 0.09, 0.5) == pytest.approx(1.295, abs=1e-3)
    assert air.opening_flow(0.5, 0.09, 0.5, flanged=True) == pytest.approx(0.971, abs=1e-3)


def test_air_in_a_duct():
    """A duct of 0.30 m at 5 m/s carries 0.3534 m3/s."""
    assert air.duct_velocity(0.3534, 0.30) == pytest.approx(5, rel=1e-3)


def test_sensible_heat_of_an_air_stream():
    """6 kW warm 1.0 m3/s by 4.98 K; 3582 m3/h for 5 K."""
    assert air.make_up_heat(1.0, 4.98) == pytest.approx(6000, rel=2e-3)
    assert air.make_up_heat(3582 / 3600, 5) == pytest.approx(6000, rel=5e-3)


@pytest.mark.parametrize(
    ("floor", "height", "people"), [(30, 4, 8), (4.6, 2.4, 1), (4.5, 2.4, 0), (3.7, 3.0, 1), (3.6, 3.0, 0)]
)
def test_air_space_for_people(floor, height, people):
    """11 m3 each, height above 3 m not counted; 6 x 5 x 4 m counts for 8 (source read)."""
    assert air.people_at_most(floor, height) == people


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan])
def test_air_without_a_size_is_refused(wrong):
    with pytest.raises(OutOfRange):
        air.canopy_flow(wrong, 0.6, 0.25)
    with pytest.raises(OutOfRange):
        air.air_changes(1.0, wrong)


# ---------------------------------------------------------------- F: fire load

DEMO = [
    Burning("hdpe", 748),
    Burning("ldpe", 60),
    Burning("pp", 260),
    Burning("hips", 140),
    Burning("abs", 75),
]


def test_the_demos_fire_load_by_one_figure():
    """1283 kg at 40 MJ/kg (EN 1991-1-2 annex E, from memory) on 51.52 m2: 51.3 GJ, 996 MJ/m2."""
    all_at_40 = [Burning("pp", sum(one.mass for one in DEMO))]
    assert total_heat(all_at_40) / 1e9 == pytest.approx(51.3, abs=0.05)
    assert fire_load(all_at_40, 51.52) / 1e6 == pytest.approx(996, abs=0.5)


def test_the_demos_fire_load_by_measured_heats():
    """PE 43.3, PP 43.1, PS 39.8, ABS 35.5 MJ/kg (from memory): 54.4 GJ, 1056 MJ/m2."""
    assert total_heat(DEMO, net=True) / 1e9 == pytest.approx(54.4, abs=0.05)
    assert fire_load(DEMO, 51.52, net=True) / 1e6 == pytest.approx(1056, abs=0.5)


def test_the_most_stock_under_an_agreed_figure():
    """600 MJ/m2 at 40 MJ/kg on 51.52 m2: 772.8 kg."""
    assert most_stock(600e6, 51.52, 40e6) == pytest.approx(772.8)
    assert most_stock(600e6, 51.52, 40e6, beside=1e12) == 0


def test_what_is_not_on_file_counts_as_the_worst_and_says_so():
    assert heat_of("something").design == 40e6
    assert heat_of("something").note


@given(st.floats(1, 5000), st.floats(10, 500))
def test_the_most_stock_loads_the_floor_to_the_agreed_figure(limit, area):
    most = most_stock(limit * 1e6, area, heat_of("pp").design)
    assert fire_load([Burning("pp", most)], area) == pytest.approx(limit * 1e6)
