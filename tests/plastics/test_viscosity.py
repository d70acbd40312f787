"""Carreau curves, melt-flow rates and their bands."""

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.plastics import library
from flatstock.plastics.datafile import read
from flatstock.plastics.viscosity import Carreau


def curve(name: str) -> Carreau:
    return Carreau.of(read(name)["law"]["viscosity_carreau"])


@pytest.mark.parametrize(
    ("name", "temperature", "rate", "printed", "rel"),
    [
        ("hdpe", 200, 1, 14382, 3e-4),
        ("pp", 220, 1, 1306, 5e-4),
        ("ps", 200, 1, 1698, 5e-4),
        ("hdpe", 200, 100, 1250, 6e-3),
        ("ldpe", 200, 500, 326, 3e-3),
        ("ldpe", 200, 1, 12700, 5e-3),
    ],
)
def test_the_curves_give_the_worked_numbers(name, temperature, rate, printed, rel):
    """Check lines of the data behind the project; sections 3 (number 10) and 4 of the property notes.
    The LDPE pair is read from a handbook (`handbook_design_formulas`); its 12.7 kPa s at 1 1/s is at 200 °C."""
    assert curve(name).viscosity(temperature, rate=rate) == pytest.approx(printed, rel=rel)


def test_the_read_power_law_gives_its_printed_answer():
    """Property notes, section 3, number 10: 135990 exp(-0.00863·200) 500^(0.3286-1) = 373.1 Pa s, read."""
    law = read("ldpe")["law"]["viscosity_power_law"]
    found = law["K_Pa_sn"] * exp(-law["beta_1_K"] * 200) * 500 ** (law["n"] - 1)
    assert found == pytest.approx(law["check_200C_500_1_s_Pa_s"], abs=0.1)


def test_a_lot_of_melt_flow_rate_8_is_2_1_kilopascal_seconds_at_rest():
    """Demo of the project: "2.1 kPa s, which is what MFR 8 gives", HDPE at 190 °C; printed to two digits."""
    assert library()["hdpe"].viscosity.at(190, mfr=8).value == pytest.approx(2100, abs=50)


@pytest.mark.parametrize("name", ["hdpe", "ldpe", "pp", "ps"])
@given(mfr=st.floats(0.3, 60))
def test_a_scaled_curve_meets_the_melt_flow_test_that_scaled_it(name, mfr):
    model = library()[name].viscosity
    found = model.at(model.test.temperature, rate=model.test.rate(mfr), mfr=mfr)
    assert found.value == pytest.approx(model.test.viscosity(mfr), rel=1e-6)


@pytest.mark.parametrize("name", ["hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs"])
@given(mfr=st.floats(0.3, 40), softer=st.floats(1.05, 3), hotter=st.floats(1, 20))
def test_an_easier_lot_and_a_hotter_melt_flow_easier(name, mfr, softer, hotter):
    model = library()[name].viscosity
    here = model.at(190, mfr=mfr).value
    assert model.at(190, mfr=mfr * softer).value < here
    assert model.at(190 + hotter, mfr=mfr).value < here


def test_the_band_is_a_factor_of_two_with_the_lots_own_rate_and_ten_without():
    model = library()["hdpe"].viscosity
    known, unknown = model.at(190, mfr=8), model.at(190)
    assert (known.high / known.value, known.value / known.low) == (pytest.approx(2), pytest.approx(2))
    assert unknown.high / unknown.value == pytest.approx(10)
    assert "not this lot's" in unknown.note


def test_a_plastic_without_a_curve_uses_the_melt_flow_relation():
    """10655 (5/2.16) 0.970/5 Pa s for HIPS of MFR 5 at 200 °C and 5 kg; melt density of the scaled row."""
    found = library()["hips"].viscosity.at(200, mfr=5)
    density = library()["hips"].melt_density_at(200).value
    assert found.value == pytest.approx(10655 * (5 / 2.16) * density / 1000 / 5)


def test_without_curve_and_without_rate_there_is_no_answer():
    with pytest.raises(OutOfRange, match="melt-flow rate"):
        library()["abs"].viscosity.at(220)


@pytest.mark.parametrize(("rate", "mfr"), [(-1, 8), (0, 0), (0, -3), (float("nan"), 8), (0, float("inf"))])
def test_impossible_rates_are_refused(rate, mfr):
    with pytest.raises(OutOfRange):
        library()["hdpe"].viscosity.at(190, rate=rate, mfr=mfr)
