"""The thermal recipe against the table and the enthalpies that it has to reproduce."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.plastics import Thermal, library
from flatstock.plastics.datafile import read
from flatstock.plastics.heat_capacity import (
    enthalpy_on_cooling,
    enthalpy_on_heating,
    melt_cp,
    solid_cp,
)
from flatstock.plastics.volume import melt_volume, solid_volume, specific_volume

PRESSED = ("hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs")

#: The project's heat model, table of plastics ("recipe from the data file"), as printed:
#: column, unit of the print, digits after the point of the print, one number a plastic.
TABLE = {
    "density": (1, 0, (955, 922, 920, 905, 1047, 1043, 1045)),
    "solid_volume_slope": (1e-7, 4, (4.0207, 4.987, 5.1384, 4.4957, 2.0057, 2.0134, 2.5837)),
    "melt_volume_180": (1e-3, 4, (1.3063, 1.3112, 1.3220, 1.3150, 1.0192, 1.0243, 1.0220)),
    "melt_volume_slope": (1e-6, 4, (1.0337, 0.8879, 1.1018, 0.7604, 0.5714, 0.5742, 0.5868)),
    "solid_cp_23": (1, 1, (1751.0, 1929.8, 1923.2, 1864.9, 1218.6, 1252.4, 1341.9)),
    "solid_cp_slope": (1, 4, (4.1921, 3.7820, 3.7971, 4.2802, 3.6763, 3.7783, 4.0482)),
    "melt_cp_180": (1, 1, (2701.6, 2701.6, 2701.6, 2671.5, 2010, 2055, 2165)),
    "melt_cp_slope": (1, 4, (3.1440, 3.1440, 3.1440, 3.6426, 2.5, 2.5, 2.2)),
    "latent": (1e3, 2, (202.17, 123.06, 125.99, 103.5, 0, 0, 0)),
    "latent_at": (1, 0, (132, 110, 122, 163, 100, 98, 105)),
    "melting_onset": (1, 0, (122, 90, 105, 148, 100, 98, 105)),
    "melting_end": (1, 0, (138, 117, 127, 170, 140, 138, 145)),
    "freezing_end": (1, 1, (113.5, 90, 104, 117, 100, 98, 105)),
    "freezing_onset": (1, 1, (125.5, 105, 116, 129, 140, 138, 145)),
    "solid_k_23": (1, 3, (0.46, 0.34, 0.36, 0.22, 0.155, 0.165, 0.18)),
    "solid_k_slope": (1e-4, 4, (-14.286, -11.688, -11.688, -2.5974, 1.2987, 0.64935, 0)),
    "melt_k_180": (1, 3, (0.26, 0.24, 0.25, 0.18, 0.165, 0.17, 0.18)),
}
#: ranges of the same table
RANGES = {
    "latent": (1e3, ((170, 230), (100, 145), (105, 145), (80, 115), (0, 0), (0, 0), (0, 0))),
    "solid_k_23": (
        1,
        ((0.38, 0.53), (0.30, 0.36), (0.32, 0.40), (0.18, 0.24), (0.14, 0.18), (0.15, 0.22), (0.17, 0.25)),
    ),
    "melt_k_180": (
        1,
        ((0.24, 0.29), (0.21, 0.26), (0.22, 0.28), (0.15, 0.22), (0.15, 0.18), (0.15, 0.20), (0.15, 0.20)),
    ),
}


def thermal(name: str) -> Thermal:
    found = library()[name].thermal
    assert found is not None
    return found


@pytest.mark.parametrize("column", TABLE)
def test_the_recipe_gives_the_printed_table(column):
    """Within 0.6 of the last printed digit; the slopes of conductivity are printed to five figures."""
    unit, digits, printed = TABLE[column]
    for name, number in zip(PRESSED, printed, strict=True):
        assert getattr(thermal(name), column).value / unit == pytest.approx(
            number, rel=5e-5 if column == "solid_k_slope" else 0, abs=0.6 * 10**-digits
        ), name


@pytest.mark.parametrize("column", RANGES)
def test_the_bands_are_the_printed_ranges(column):
    unit, printed = RANGES[column]
    for name, (low, high) in zip(PRESSED, printed, strict=True):
        value = getattr(thermal(name), column)
        assert (value.low / unit, value.high / unit) == (pytest.approx(low), pytest.approx(high)), name


@pytest.mark.parametrize("name", PRESSED)
def test_the_enthalpies_on_file_come_back_within_0_3_percent(name):
    """Table of enthalpies above 23 °C of the property notes (section 3, numbers 6 to 8), two-phase curves integrated
    there with the exact heat-capacity laws; straight lines here, hence 0.3 %."""
    table = read(name)["table"]["enthalpy_above_23C"]
    for temperature, number in zip(table["T_C"], table["h_kJ_kg"], strict=True):
        found = enthalpy_on_heating(thermal(name), temperature) / 1e3
        assert found == pytest.approx(number, rel=3e-3, abs=0.5), temperature


def test_enthalpy_of_bottle_polyethylene_at_200_is_599():
    """Property notes, section 3, number 6: 23 to 200 °C, X = 0.69: 599 kJ/kg."""
    assert enthalpy_on_heating(thermal("hdpe"), 200) / 1e3 == pytest.approx(599, rel=3e-3)


def test_polypropylene_may_freeze_twelve_kelvin_lower():
    assert thermal("pp").freezing_onset.low == 129 - 12
    assert thermal("pp").freezing_onset.high == 129 + 4


@given(name=st.sampled_from(PRESSED), low=st.floats(-20, 259), rise=st.floats(0.01, 40))
def test_enthalpy_never_falls_with_temperature(name, low, rise):
    it = thermal(name)
    assert enthalpy_on_heating(it, low + rise) > enthalpy_on_heating(it, low)
    assert enthalpy_on_cooling(it, low + rise) > enthalpy_on_cooling(it, low)


@given(name=st.sampled_from(PRESSED), temperature=st.floats(-20, 260))
def test_a_cooled_melt_never_holds_less_heat_than_a_heated_solid(name, temperature):
    it = thermal(name)
    assert enthalpy_on_cooling(it, temperature) >= enthalpy_on_heating(it, temperature) - 1e-6


@pytest.mark.parametrize("name", PRESSED)
def test_heating_and_cooling_meet_above_and_below_the_ranges(name):
    it = thermal(name)
    for temperature in (20.0, 60.0, 175.0, 220.0):
        assert enthalpy_on_heating(it, temperature) == enthalpy_on_cooling(it, temperature)


@given(name=st.sampled_from(PRESSED), temperature=st.floats(-20, 260), melted=st.floats(0, 1))
def test_volume_lies_between_solid_and_melt_and_is_positive(name, temperature, melted):
    it = thermal(name)
    ends = sorted((solid_volume(it, temperature), melt_volume(it, temperature)))
    found = specific_volume(it, temperature, melted=melted)
    assert 0 < ends[0] * (1 - 1e-12) <= found <= ends[1] * (1 + 1e-12)


@pytest.mark.parametrize(
    ("name", "law", "temperature", "printed"),
    [
        ("hdpe", solid_cp, 23, 1751),
        ("hdpe", solid_cp, 80, 1990),
        ("ldpe", solid_cp, 80, 2145),
        ("pp", solid_cp, 80, 2109),
        ("hdpe", melt_cp, 190, 2733),
        ("pp", melt_cp, 200, 2744),
        ("ps", melt_cp, 190, 2035),
        ("abs", melt_cp, 210, 2231),
    ],
)
def test_heat_capacities_are_those_of_the_property_notes(name, law, temperature, printed):
    """Check lines of the data behind the project ("check_cp"), printed to 1 J/kgK."""
    assert law(thermal(name), temperature) == pytest.approx(printed, abs=0.6)
