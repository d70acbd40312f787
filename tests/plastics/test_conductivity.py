"""Flake bed and dense plastic."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.plastics import library, with_overrides
from flatstock.plastics.conductivity import (
    _core,
    _core_near_pole,
    air_conductivity,
    bed_conductivity,
    packed_bed,
)

BROKEN = {"form": 1.4, "flattening": 0.001, "emissivity": 0.9}


@pytest.mark.parametrize(
    ("name", "void", "temperature", "printed"),
    [
        ("hdpe", 0.50, 23, 0.1127),
        ("hdpe", 0.50, 100, 0.1229),
        ("hdpe", 0.634, 23, 0.0878),
        ("pp", 0.50, 23, 0.0847),
        ("pp", 0.50, 100, 0.0978),
    ],
)
def test_the_bed_conducts_as_printed(name, void, temperature, printed):
    """Heat model of the project, section on the flake bed, no melt; printed to four digits."""
    assert bed_conductivity(library()[name].thermal, temperature, void=void) == pytest.approx(
        printed, abs=0.6e-4
    )


def test_a_loose_bed_of_polyethylene_is_the_worked_number():
    """Property notes, section 3, number 11: psi 0.6335, k_g 0.02573, k_p 17.49: 0.087 W/mK; 0.070 without radiation."""
    bed = {"solid": 17.49 * 0.02573, "gas": 0.02573, "void": 0.6335, "temperature": 23.0, **BROKEN}
    assert packed_bed(**bed, grain=0.0025) == pytest.approx(0.087, abs=6e-4)
    assert packed_bed(**bed, grain=0.0) == pytest.approx(0.070, abs=6e-4)


@given(void=st.floats(0.1, 0.95), gas=st.floats(0.02, 0.04))
def test_grains_that_conduct_like_the_gas_give_the_gas(void, gas):
    """Exact for k_s = k_g without radiation, where B does not matter; a void with N = 0 is among them."""
    found = packed_bed(solid=gas, gas=gas, void=void, grain=0.0, temperature=23.0, **BROKEN)
    assert found == pytest.approx(gas, rel=1e-6)


@given(kp=st.floats(3, 30), b=st.floats(0.3, 6), sign=st.sampled_from([-1.0, 1.0]))
def test_the_series_meets_the_closed_form_where_it_takes_over(kp, b, sign):
    """At N kp/B = ± 0.021 the closed form keeps ten digits and the series' remainder is below 1e-13."""
    x = sign * 0.021
    kr = b * (1 + x) - kp
    n = 1 + (kr - b) / kp
    assert _core_near_pole(kp, b, n) == pytest.approx(_core(kp, b, kr), rel=1e-7, abs=1e-7)


@given(offset=st.floats(-1e-6, 1e-6))
def test_nothing_jumps_at_the_removable_singularity(offset):
    kp, b = 10.0, 11.0
    at_pole = _core_near_pole(kp, b, 0.0)
    assert _core(kp, b, b - kp + offset) == pytest.approx(at_pole, rel=1e-5)


@given(
    void=st.floats(0.05, 0.95),
    temperature=st.floats(0, 240),
    solid=st.floats(0.1, 0.6),
    grain=st.floats(0, 0.004),
)
def test_a_bed_conducts_more_than_no_heat_and_less_than_solid_with_radiation(void, temperature, solid, grain):
    gas = air_conductivity(temperature)
    found = packed_bed(solid=solid, gas=gas, void=void, grain=grain, temperature=temperature, **BROKEN)
    radiation = 4 * 5.67e-8 * (temperature + 273.15) ** 3 * grain
    assert gas * 0.9 < found < solid + gas + 2 * radiation


@pytest.mark.parametrize("void", [0.0, 1.0, -0.1, float("nan")])
def test_a_void_that_is_none_is_refused(void):
    with pytest.raises(OutOfRange, match="void"):
        packed_bed(solid=0.4, gas=0.025, void=void, grain=0.0025, temperature=23.0, **BROKEN)


def test_a_measured_bed_replaces_the_model_and_keeps_the_factor():
    own = with_overrides(library(), {"hdpe": {"bed_k_W_mK": 0.10, "bed_factor": 1.2}})["hdpe"]
    assert bed_conductivity(own.thermal, 80) == pytest.approx(0.12)
