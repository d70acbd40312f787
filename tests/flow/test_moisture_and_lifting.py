"""Steam from damp flake, and who may lift what."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.flow.lifting import Handling, handling, mould_mass, team_lift
from flatstock.flow.moisture import boiling_pressure, steam_volume

AMBIENT = 101_325.0


def test_0_3_percent_water_in_an_11_7_kg_charge_is_74_litres_of_steam_at_190_degrees():
    water = 0.003 * 11.7
    assert round(1e3 * water) == 35
    assert round(1e3 * steam_volume(water_mass=water, temperature=190, pressure=AMBIENT)) == 74


def test_the_same_water_is_21_litres_at_0_25_megapascal_above_ambient():
    volume = steam_volume(water_mass=0.003 * 11.7, temperature=190, pressure=AMBIENT + 0.25e6)
    assert round(1e3 * volume) == 21


@pytest.mark.parametrize(
    ("celsius", "steam_table"), [(100, 0.10142e6), (150, 0.4762e6), (200, 1.5549e6), (250, 3.9762e6)]
)
def test_water_boils_within_one_percent_of_the_steam_table(celsius, steam_table):
    """Saturation pressures of IAPWS-IF97, from memory; 1 % is what the Antoine form claims."""
    assert boiling_pressure(celsius) == pytest.approx(steam_table, rel=0.01)


def test_ideal_steam_is_within_one_percent_of_the_steam_table_at_200_degrees_and_one_bar():
    """2.1725 m3/kg, steam table at 200 °C and 0.1 MPa, from memory."""
    assert steam_volume(water_mass=1, temperature=200, pressure=1e5) == pytest.approx(2.1725, rel=0.01)


def test_water_held_above_its_boiling_pressure_makes_no_steam_until_released():
    assert steam_volume(water_mass=0.035, temperature=120, pressure=0.35e6) == 0.0
    assert steam_volume(water_mass=0.035, temperature=120, pressure=AMBIENT) > 0.06


@given(temperature=st.floats(150, 250), pressure=st.floats(1e5, 4e5), water=st.floats(0.001, 1))
def test_twice_the_pressure_halves_the_steam_and_twice_the_water_doubles_it(temperature, pressure, water):
    one = steam_volume(water_mass=water, temperature=temperature, pressure=pressure)
    half = steam_volume(water_mass=water, temperature=temperature, pressure=2 * pressure)
    double = steam_volume(water_mass=2 * water, temperature=temperature, pressure=pressure)
    assert double == pytest.approx(2 * one)
    assert half == pytest.approx(one / 2) or boiling_pressure(temperature) <= 2 * pressure


def test_a_temperature_below_absolute_zero_is_refused():
    with pytest.raises(OutOfRange, match="kelvin is"):
        boiling_pressure(-300)


@pytest.mark.parametrize(
    ("frame", "charge", "empty_kg", "loaded_kg"),
    [(8.2, 5.87, 48, 54), (16.4, 11.74, 56, 68), (24.5, 17.6, 64, 82)],
)
def test_moulds_of_the_demo_weigh_what_is_tabled(frame, charge, empty_kg, loaded_kg):
    assert round(mould_mass(frame=frame, skin=19.9)) == empty_kg
    assert round(mould_mass(frame=frame, skin=19.9, charge=charge)) == loaded_kg


@pytest.mark.parametrize(("alone", "limit"), [([20, 20], 26.6), ([25, 25], 33.3), ([25, 16], 27.3)])
def test_two_people_lift_two_thirds_of_what_they_lift_alone(alone, limit):
    """UK Health and Safety Executive, Manual handling (L23), team handling, as quoted in a published
    copy, and its worked figure of about 26.6 kg for 20 kg each; tolerance one in its last digit."""
    assert team_lift(alone=alone) == pytest.approx(limit, abs=0.1)


def test_three_people_lift_half_of_what_they_lift_alone():
    assert team_lift(alone=[20, 20, 20]) == pytest.approx(30)


@pytest.mark.parametrize("people", [0, 4])
def test_the_team_rule_is_not_stretched_to_more_people_than_its_source(people):
    with pytest.raises(OutOfRange, match="use a lifting aid"):
        team_lift(alone=[20.0] * people)


@pytest.mark.parametrize(
    ("mass", "alone", "verdict"),
    [
        (82, [25, 25], Handling.NEVER_LIFT),
        (48, [25, 25], Handling.NEVER_LIFT),
        (30, [25, 25], Handling.LIFT_TOGETHER),
        (30, [25, 16], Handling.NEVER_LIFT),
        (30, [32], Handling.LIFT_ALONE),
        (30, [25], Handling.NEVER_LIFT),
        (15, [25, 16], Handling.LIFT_ALONE),
    ],
)
def test_a_mould_over_the_team_limit_is_slid_never_lifted(mass, alone, verdict):
    assert handling(mass, alone=alone) is verdict


@given(mass=st.floats(1, 100), alone=st.lists(st.floats(5, 30), min_size=1, max_size=3))
def test_a_lighter_mould_is_never_harder_to_move(mass, alone):
    order = [Handling.LIFT_ALONE, Handling.LIFT_TOGETHER, Handling.NEVER_LIFT]
    lighter = handling(mass * 0.9, alone=alone)
    assert order.index(lighter) <= order.index(handling(mass, alone=alone))
