"""Published trials and sheet arithmetic.

Process data of the trials are plausibility bands: only the arithmetic derived from them is checked here.
"""

from math import pi

import pytest

from flatstock.flow.charge import net_charge, sheet_thickness
from flatstock.flow.level import heap_height
from flatstock.flow.pressure import gauge_for, press_force, sheet_pressure
from flatstock.flow.shrinkage import cold_length, isotropic_shrinkage, linear_shrinkage, volume_shrinkage


def force_for(pressure, area):
    """Closing force for a pressure on a sheet, through a piston of 1 m2 (gauge times area)."""
    piston = 2 / pi**0.5
    gauge = gauge_for(pressure=pressure, piston_diameter=piston, sheet_area=area)
    return press_force(gauge=gauge, piston_diameter=piston)


def test_laboratory_pressure_on_a_square_metre_would_take_5000_kilonewtons():
    """5 MPa on 1.0 x 1.0 m: exact; 509.9 tonnes-force at 9.80665 m/s2."""
    assert force_for(5e6, 1.0) == pytest.approx(5000e3, rel=1e-9)
    assert force_for(5e6, 1.0) / 9806.65 == pytest.approx(509.9, abs=0.05)


@pytest.mark.parametrize(("pressure", "force_kN"), [(0.321e6, 321), (1.6e6, 1600)])
def test_what_rotomoulding_scrap_needed_on_a_square_metre(pressure, force_kN):
    """University of Manitoba thesis abstract, read: 0.321 MPa for virgin HDPE, 1.6 MPa for cross-linked
    regrind; the forces are exact arithmetic."""
    assert force_for(pressure, 1.0) == pytest.approx(1e3 * force_kN, rel=1e-9)


def test_two_tiles_of_387_grams_are_fully_dense_hdpe():
    """Abstract on plastic tiles, read: 240 x 340 x 5 mm, 387 g each; 948.5 kg/m3, so the thickness of
    a dense sheet of that mass comes back as 5 mm. 1e-4: four digits of the density are printed."""
    thickness = sheet_thickness(mass=0.387, density=948.5, cold_area=0.240 * 0.340)
    assert thickness == pytest.approx(0.005, rel=1e-4)


@pytest.mark.parametrize(("tiles", "pressure_kPa"), [(1, 61.6), (2, 30.8)])
def test_an_80_mm_bore_at_10_bar_presses_them_with_5_kilonewtons(tiles, pressure_kPa):
    """Same abstract, p π d²/4; 5.03 kN, 61.6 and 30.8 kPa, rounded as printed, on one tile or shared by two."""
    assert press_force(gauge=10e5, piston_diameter=0.080) == pytest.approx(5.03e3, abs=5)
    pressure = sheet_pressure(gauge=10e5, piston_diameter=0.080, sheet_area=tiles * 0.240 * 0.340)
    assert pressure / 1e3 == pytest.approx(pressure_kPa, abs=0.05)


def test_38_58_grams_in_a_185_by_165_mm_mould_make_1_33_mm():
    """Proc. Int. Conf. Digital Manufacturing vol. 1, pp. 24-25, read; at 950 kg/m3. Rounded as printed (0.005 mm)."""
    thickness = sheet_thickness(mass=0.03858, density=950, cold_area=0.185 * 0.165)
    assert 1e3 * thickness == pytest.approx(1.33, abs=0.005)


def test_a_1000_mm_cavity_and_a_975_mm_part_are_2_5_percent():
    """Definition of ISO 294-4, from memory; isotropic volume ratio 0.92686, rounded as printed."""
    shrinkage = linear_shrinkage(cavity=1.000, part=0.975)
    assert shrinkage == pytest.approx(0.025, rel=1e-9)
    assert cold_length(cavity=1.0, shrinkage=shrinkage) ** 3 == pytest.approx(0.92686, abs=5e-6)


def test_melt_of_0_76_freezing_to_0_95_loses_a_fifth_of_its_volume():
    """1 - 0.76/0.95 = 20.0 % of volume, exact; its cube root, 7.17 % a side if it were even, as printed (5e-5)."""
    assert volume_shrinkage(melt_density=760, density=950) == pytest.approx(0.200, rel=1e-9)
    assert isotropic_shrinkage(melt_density=760, density=950) == pytest.approx(0.0717, abs=5e-5)


def test_a_square_metre_of_10_mm_weighs_9_5_kg_and_lies_38_mm_deep_as_flake():
    """Volume times 950 kg/m3, and that mass over 250 kg/m3: plain arithmetic, exact (1e-9)."""
    mass = net_charge(thickness=0.010, density=950, cold_area=1.0)
    assert mass == pytest.approx(9.50, rel=1e-9)
    assert heap_height(mass=mass, bulk_density=250, cavity_area=1.0) == pytest.approx(0.038, rel=1e-9)
