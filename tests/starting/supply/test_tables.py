"""Starts, cable, leakage, heat-up and wrong joints, against the tables of docs/sources.md and sums by hand."""

from dataclasses import replace
from math import acos, exp, sqrt, tan

import pytest

from flatstock.starting.supply.cable import AMBIENT, CARRIES, DROP, cable
from flatstock.starting.supply.carries import power_left, what_is_left
from flatstock.starting.supply.leakage import leakage
from flatstock.starting.supply.oven import heat_up_time, least_power, oven_of
from flatstock.starting.supply.starts import INSTANTANEOUS, start_order, starts
from flatstock.starting.supply.wiring import mistakes, power_at
from flatstock.starting.supply.worst import look_at
from tests.starting.supply.supplies import DEMO, EXTRACT, HEAT, PUMP, SAW, SMALL, a_load, a_supply


def test_the_saw_starts_as_in_s8():
    saw = next(one for one in starts(DEMO) if one.load == "SAW")
    assert saw.start == pytest.approx(44.6, abs=0.05)
    assert saw.peak == pytest.approx(79.3, abs=0.06)
    assert saw.star_delta == pytest.approx(14.9, abs=0.05)
    assert saw.trips_from == 200
    assert saw.verdict == "holds"


@pytest.mark.parametrize(
    ("type_", "rated", "amps"), [("C", 40, 200), ("B", 16, 48), ("C", 16, 80), ("D", 16, 160)]
)
def test_instantaneous_trips_are_those_of_s8(type_, rated, amps):
    assert INSTANTANEOUS[type_] * rated == amps


def test_a_start_over_its_own_device_may_trip_it():
    own = replace(SAW, own_rated=13.0, own_characteristic="B")
    assert starts(a_supply(HEAT, own))[0].verdict == "may_trip"


def test_a_fuse_leaves_the_start_to_its_curve():
    assert {one.verdict for one in starts(replace(DEMO, characteristic="fuse"))} == {"unknown"}


def test_the_largest_motor_starts_first_and_the_heaters_last():
    assert start_order(DEMO) == ["SAW", "EXTRACT", "PUMP", "SMALL", "HEAT"]


def test_the_demos_cable_drops_what_s9_says():
    of = cable(DEMO)
    assert (of.drop, of.drop_percent) == pytest.approx((4.56, 1.14), abs=0.005)
    assert of.carries == 57
    assert of.verdict == "fits"


def test_a_one_phase_cable_drops_what_s9_says():
    of = cable(a_supply(PUMP, phases=1, volts_LL=None, cable=24.0))
    assert (of.drop, of.drop_percent) == pytest.approx((4.22, 1.84), abs=0.005)
    assert of.carries == 63


@pytest.mark.parametrize(
    ("rated", "mm2", "warm", "carries", "verdict"),
    [
        (25, 4.0, 30, 32.0, "fits"),
        (25, 2.5, 30, 24.0, "too_thin"),
        (25, 4.0, 40, 27.8, "fits"),
        (25, 2.5, 40, 20.9, "too_thin"),
    ],
)
def test_a_cable_is_held_against_its_device_as_in_g11_and_g12(rated, mm2, warm, carries, verdict):
    """15 kW: 25 A device, 4 mm2; 2.5 mm2 carries 24; at 40 °C 27.8 and 20.9 (IEC 60364-5-52, at second hand)."""
    of = cable(replace(DEMO, rated=float(rated), cable_area=mm2 * 1e-6, ambient=float(warm)))
    assert of.carries == pytest.approx(carries, abs=0.05)
    assert of.verdict == verdict


def test_the_tables_are_those_of_g7_to_g10_and_g13():
    assert CARRIES["C", 3][10] == 57
    assert CARRIES["C", 2][25] == 112
    assert CARRIES["B1", 3][35] == 110
    assert AMBIENT[45] == 0.79
    assert (DROP[3][6], DROP[2][2.5]) == (6.4, 18)


def test_what_the_tables_lack_is_not_judged():
    assert cable(replace(DEMO, method="E")).verdict == "unknown"
    assert cable(replace(DEMO, cable_area=None)).why == ("the cable's size is not known",)
    assert cable(replace(DEMO, rule="NEC")).carries is None


def test_a_long_thin_cable_drops_too_much():
    assert cable(replace(DEMO, cable=150.0)).verdict == "drops_too_much"


@pytest.mark.parametrize(("mA", "verdict"), [(30, "may_trip"), (100, "fits"), (300, "fits")])
def test_heaters_leak_as_in_s10(mA, verdict):
    of = leakage(replace(DEMO, residual=mA / 1000))
    assert of.expected == pytest.approx(0.018)
    assert of.may_stand == pytest.approx(0.3 * mA / 1000)
    assert of.verdict == verdict


def test_the_largest_heaters_on_30_mA_are_nine_kilowatts():
    assert leakage(DEMO).largest_heaters == pytest.approx(9000)


@pytest.mark.parametrize(
    ("mass", "metal", "loss", "kW", "minutes"),
    [(462, 490, 12, 18, 39.5), (462, 490, 12, 3.98, 239.9), (39.69, 900, 5, 3.98, 29.9)],
)
def test_heat_up_by_177_kelvin_takes_what_s7_says(mass, metal, loss, kW, minutes):
    time = heat_up_time(kW * 1000, capacity=mass * metal, loss=loss, rise=177)
    assert time / 60 == pytest.approx(minutes, abs=0.1)


def test_heat_up_ends_where_the_exponential_is_at_the_rise():
    """T(t) = P/UA (1 - exp(-UA t/C)), the solution of the heat balance, written apart."""
    time = heat_up_time(9e3, capacity=2e5, loss=20, rise=150)
    assert 9e3 / 20 * (1 - exp(-20 * time / 2e5)) == pytest.approx(150)


def test_below_its_losses_a_press_never_gets_hot():
    """12 W/K over 177 K lose 2.124 kW."""
    assert least_power(oven_of(DEMO, None)) == pytest.approx(2124)
    assert heat_up_time(2124, capacity=226_380, loss=12, rise=177) is None


def test_one_phase_leaves_the_heaters_what_s6_says():
    """1 x 32 A beside a pump of 1.5 kW at pf 0.75 and 1.31 kW at 0.95: 3.98 kW; the pump interlocked: 5.98 kW."""
    pump, small = replace(PUMP, phase=1), a_load("SMALL", 1.31, power_factor=0.95, phase=1)
    supply = a_supply(pump, small, phases=1, volts_LL=None, rated=32.0)
    assert power_left(supply) / 1000 == pytest.approx(3.98, abs=0.005)
    off = {one.what: one.power for one in what_is_left(supply, oven_of(supply, None))}
    assert off["PUMP off meanwhile"] / 1000 == pytest.approx(5.98, abs=0.005)


def test_volts_change_power_and_current_as_in_s12():
    assert power_at(18.0, volts=253, built_for=230) == pytest.approx(21.78, abs=0.005)
    assert power_at(18e3, volts=440, built_for=400) / 3**0.5 / 440 == pytest.approx(28.58, abs=0.005)
    at_208 = a_supply(a_load("H", 18.0, "3P", control="on_off"), volts_LL=208.0, volts_LN=120.0)
    assert look_at(at_208).arithmetic[0] == pytest.approx(49.96, abs=0.005)
    assert power_at(1.0, volts=208 / 3**0.5, built_for=230) == pytest.approx(0.273, abs=5e-4)


def test_elements_joined_in_delta_for_star_give_three_times_their_power():
    """By V²/R: three 2 kW, 230 V elements: 6.049 kW in star, 18.15 kW in delta, at 400 V."""
    supply = a_supply(a_load("H", 6.049, "3P", control="on_off", elements=3))
    delta, star = mistakes(supply)
    assert delta.power == pytest.approx(18_150, rel=1e-3)
    assert star.power == pytest.approx(6049 / 3)


def test_a_generator_leaves_heaters_no_more_than_its_own_kva():
    """Beside P and Q of the others: P + sqrt(S2 - Q2) by Pythagoras; the 63 A breaker alone would say 33.2 kW."""
    generator = replace(DEMO, kind="generator", generator=30e3, rated=63.0)
    others = [SAW, PUMP, EXTRACT, SMALL]
    real = sum(one.power for one in others)
    reactive = sum(one.power * tan(acos(one.power_factor)) for one in others)
    assert power_left(generator) == pytest.approx(sqrt(30e3**2 - reactive**2) - real)
    assert power_left(replace(generator, kind="grid")) == pytest.approx(33.21e3, rel=1e-3)
