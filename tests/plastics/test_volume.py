"""Melt volume by the Tait rows against worked numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.plastics import library
from flatstock.plastics.datafile import read
from flatstock.plastics.volume import AIR, MeltLine, Tait

PRESSED = ("hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs")


def row(name: str, law: str = "tait_melt") -> Tait:
    return Tait.of(read(name)["law"][law])


@pytest.mark.parametrize(
    ("name", "temperature", "volume"),
    [("hdpe", 200, 1.3274e-3), ("pp", 230, 1.3549e-3), ("pp", 200, 1.3305e-3), ("ps", 200, 1.0309e-3)],
)
def test_melt_volumes_are_the_worked_numbers(name, temperature, volume):
    """Property notes, section 3, numbers 1 to 3, at 0.1 MPa, printed to five digits."""
    assert row(name).volume(temperature) == pytest.approx(volume, abs=0.6e-7)


@pytest.mark.parametrize(
    ("name", "temperature", "density", "digits"),
    [("hdpe", 200, 753.4, 1), ("hdpe", 190, 759.5, 1), ("pp", 230, 738.0, 1), ("pet", 280, 1172, 0)],
)
def test_melt_densities_are_the_worked_numbers(name, temperature, density, digits):
    """Property notes, section 3, numbers 1 and 2, and the note of the PET row."""
    found = library()[name].melt_density_at(temperature).value
    assert found == pytest.approx(density, abs=0.6 * 10**-digits)


def test_melt_density_agrees_with_the_melt_flow_norm():
    """763.6 (PE, 190 °C) and 738.6 kg/m3 (PP, 230 °C): melt-flow standards, from memory; 0.6 % apart at most."""
    assert library()["hdpe"].melt_density_at(190).value == pytest.approx(763.6, rel=6e-3)
    assert library()["pp"].melt_density_at(230).value == pytest.approx(738.6, rel=2e-3)


def test_polystyrene_agrees_with_an_independent_equation_of_state():
    """Spencer and Gilmore, v = b + R T/(W (P + p*)), constants of a handbook table (`handbook_design_data`):
    1.0248 cm3/g at 200 °C, 0.6 % below the Tait row (property notes, section 3, number 3)."""
    other = 82.057 * 473.15 / 104.0 / (1.0 + 1840.0) + 0.822
    assert row("ps").volume(200) * 1e3 == pytest.approx(other, rel=7e-3)


def test_five_megapascal_squeeze_polyethylene_by_0_58_percent():
    """Property notes, section 3, number 4."""
    melt = row("hdpe")
    assert 1 - melt.volume(190, pressure=5e6) / melt.volume(190) == pytest.approx(0.0058, abs=6e-5)


def test_compressibility_is_the_slope_of_the_volume():
    melt = row("pp")
    for pressure in (1e5, 5e6, 5e7):
        step = 1e3
        slope = (melt.volume(200, pressure=pressure + step) - melt.volume(200, pressure=pressure - step)) / (
            2 * step
        )
        by_law = melt.compressibility(200, pressure=pressure) * melt.volume(200, pressure=pressure)
        assert by_law == pytest.approx(-slope, rel=1e-5)


@pytest.mark.parametrize("name", ["hdpe", "ldpe", "lldpe", "pp"])
def test_the_solid_row_gives_the_density_it_was_matched_to(name):
    """Property notes, section 2.2: two-phase solid matched at 23 °C; coefficients are printed to 0.1 %."""
    law = read(name)["law"]["tait_solid"]
    assert 1 / row(name, "tait_solid").volume(23.0) == pytest.approx(
        law["density_23C_matched_kg_m3"], rel=1e-3
    )


@given(name=st.sampled_from(PRESSED), temperature=st.floats(145, 240), pressure=st.floats(0, 2e7))
def test_melt_density_is_positive_and_rises_with_pressure(name, temperature, pressure):
    it = library()[name]
    free, pressed = it.melt_density_at(temperature, AIR), it.melt_density_at(temperature, AIR + pressure)
    assert 0 < free.low <= free.value <= free.high
    assert pressed.value >= free.value


def test_a_temperature_far_outside_the_row_is_refused():
    with pytest.raises(OutOfRange, match="20 °C is too far"):
        library()["hdpe"].melt_density_at(20)


def test_the_band_widens_and_says_so_outside_the_row():
    inside, outside = library()["hdpe"].melt_density_at(190), library()["hdpe"].melt_density_at(220)
    assert (outside.high - outside.low) / outside.value > (inside.high - inside.low) / inside.value
    assert "21 K outside the range of 141.9 … 198.9 °C" in outside.note


def test_a_line_lends_its_compressibility_from_the_row():
    melt = row("hdpe")
    line = MeltLine(at_180=1.3e-3, slope=1e-6, pressure_law=melt)
    ratio = melt.volume(190, pressure=5e6) / melt.volume(190)
    assert line.volume(190, pressure=5e6) == pytest.approx((1.3e-3 + 1e-5) * ratio)
