"""What to weigh for a sheet, on the workshop's own case and by the laws that every charge obeys."""

from math import fsum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.flow.charge import blend_density, charge_with_allowance, net_charge, sheet_thickness, wet_mass
from flatstock.flow.shrinkage import cavity_for, cold_area, cold_length, linear_shrinkage, thickness_shrinkage
from flatstock.flow.weighing import round_to_step, split_by_shares, thickness_effect, tolerance_mass

densities = st.floats(700, 1700)
shrinkages = st.floats(0, 0.08)
steps = st.sampled_from([0.0001, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1])
masses = st.floats(0.05, 60)


def shares_of(weights):
    return [one / fsum(weights) for one in weights]


shares = st.lists(st.floats(0.01, 1), min_size=1, max_size=8).map(shares_of)

# the demo workshop's table of charges: shrinkage, cold density, then net and charge of 6, 12, 18 mm
TABLE = [
    ("HDPE", 0.022, 950, (5.72, 11.45, 17.17), (5.87, 11.74, 17.60)),
    ("LDPE", 0.020, 920, (5.57, 11.13, 16.70), (5.71, 11.41, 17.12)),
    ("PP", 0.015, 905, (5.53, 11.06, 16.60), (5.67, 11.34, 17.01)),
    ("HIPS", 0.005, 1045, (6.52, 13.04, 19.55), (6.68, 13.36, 20.04)),
    ("ABS", 0.006, 1045, (6.50, 13.01, 19.51), (6.67, 13.33, 20.00)),
]


@pytest.mark.parametrize(("name", "shrinkage", "density", "nets", "charges"), TABLE)
def test_the_charges_of_the_demo_workshop_come_out_as_tabled(name, shrinkage, density, nets, charges):
    area = cold_area(cavity_length=1.250, cavity_width=0.840, shrinkage=shrinkage)
    for thickness, net, charge in zip((0.006, 0.012, 0.018), nets, charges, strict=True):
        answer = net_charge(thickness=thickness, density=density, cold_area=area)
        assert answer == pytest.approx(net, abs=0.0051)
        assert charge_with_allowance(net_charge=answer, allowance=0.025) == pytest.approx(charge, abs=0.0051)


def test_a_12_mm_sheet_is_weighed_to_the_step_of_the_floor_scale():
    area = cold_area(cavity_length=1.250, cavity_width=0.840, shrinkage=0.022)
    net = net_charge(thickness=0.012, density=950, cold_area=area)
    assert round_to_step(charge_with_allowance(net_charge=net, allowance=0.025), step=0.02) == 11.74


def test_reckoning_on_the_cavity_instead_of_the_cold_sheet_would_overcharge_by_4_5_percent():
    cold = cold_area(cavity_length=1.250, cavity_width=0.840, shrinkage=0.022)
    assert 1.05 / cold - 1 == pytest.approx(0.045, abs=0.001)


@given(thickness=st.floats(0.002, 0.04), density=densities, area=st.floats(0.05, 3))
def test_the_net_charge_gives_back_the_thickness_it_was_reckoned_for(thickness, density, area):
    mass = net_charge(thickness=thickness, density=density, cold_area=area)
    assert sheet_thickness(mass=mass, density=density, cold_area=area) == pytest.approx(thickness, rel=1e-12)


@given(
    trimmed=st.floats(0.1, 3), trim=st.floats(0, 0.05), several=st.lists(shrinkages, min_size=1, max_size=5)
)
def test_a_cavity_leaves_the_trim_for_every_plastic_and_no_more_for_the_one_that_shrinks_most(
    trimmed, trim, several
):
    cavity = cavity_for(trimmed=trimmed, trim=trim, shrinkages=several)
    left = [cold_length(cavity=cavity, shrinkage=s) for s in several]
    assert min(left) == pytest.approx(trimmed + 2 * trim, rel=1e-12)


def test_a_cavity_of_1220_leaves_nothing_to_trim_off_a_1200_sheet():
    assert cold_length(cavity=1.220, shrinkage=0.022) < 1.200


@given(cavity=st.floats(0.1, 3), shrinkage=shrinkages)
def test_measured_shrinkage_undoes_the_cold_length(cavity, shrinkage):
    part = cold_length(cavity=cavity, shrinkage=shrinkage)
    assert linear_shrinkage(cavity=cavity, part=part) == pytest.approx(shrinkage, abs=1e-12)


def test_melt_loses_what_the_plan_does_not_in_thickness():
    """14.35 mm of melt for 12.0 mm of sheet: 16.4 %."""
    lost = thickness_shrinkage(melt_density=760, density=950, shrinkage=0.022)
    assert 14.347 * (1 - lost) == pytest.approx(12.0, abs=0.001)


@given(weights=st.lists(st.tuples(st.floats(0.01, 1), densities), min_size=1, max_size=6))
def test_a_blend_lies_between_its_lightest_and_its_heaviest_part(weights):
    parts = list(zip(shares_of([w for w, _ in weights]), [d for _, d in weights], strict=True))
    every = [d for _, d in parts]
    assert min(every) * (1 - 1e-12) <= blend_density(parts=parts) <= max(every) * (1 + 1e-12)


def test_equal_masses_of_two_plastics_blend_to_the_harmonic_mean_of_their_densities():
    assert blend_density(parts=[(0.5, 900), (0.5, 1100)]) == pytest.approx(2 * 900 * 1100 / 2000)


def test_shares_that_do_not_sum_to_one_are_refused_with_their_sum():
    with pytest.raises(OutOfRange, match=r"sum to 0\.9"):
        blend_density(parts=[(0.5, 950), (0.4, 905)])
    with pytest.raises(OutOfRange, match=r"sum to 1\.1"):
        split_by_shares(11.74, shares=[0.7, 0.4], step=0.02)


@given(mass=masses, shares=shares, step=steps)
def test_the_parts_of_a_recipe_sum_to_the_rounded_charge(mass, shares, step):
    parts = split_by_shares(mass, shares=shares, step=step)
    assert fsum(parts) == pytest.approx(round_to_step(mass, step=step), abs=1e-9)


@given(mass=masses, shares=shares, step=steps)
def test_no_part_of_a_recipe_is_off_its_share_by_a_whole_step(mass, shares, step):
    whole = round_to_step(mass, step=step)
    for part, share in zip(split_by_shares(mass, shares=shares, step=step), shares, strict=True):
        assert abs(part - share * whole) < step * (1 + 1e-6)


@given(mass=masses, shares=shares, step=steps)
def test_every_part_of_a_recipe_is_a_whole_number_of_scale_steps(mass, shares, step):
    for part in split_by_shares(mass, shares=shares, step=step):
        assert part / step == pytest.approx(round(part / step), abs=1e-4)


def test_a_step_left_over_goes_to_the_earlier_of_two_equal_parts():
    assert split_by_shares(0.03, shares=[0.5, 0.5], step=0.01) == (0.02, 0.01)


@given(mass=masses, step=steps)
def test_rounding_moves_a_mass_by_half_a_step_at_most(mass, step):
    assert abs(round_to_step(mass, step=step) - mass) <= step / 2 + 1e-9


def test_rounded_masses_carry_no_binary_dust():
    assert repr(round_to_step(11.7374, step=0.02)) == "11.74"


def test_a_tenth_of_a_millimetre_is_95_grams_on_the_demo_sheet():
    area = cold_area(cavity_length=1.250, cavity_width=0.840, shrinkage=0.022)
    band = tolerance_mass(thickness_tolerance=1e-4, density=950, cold_area=area, step=0.02)
    assert band == pytest.approx(0.095, abs=0.0005)


def test_a_tolerance_is_never_finer_than_the_scale():
    assert tolerance_mass(thickness_tolerance=5e-5, density=950, cold_area=0.05, step=0.02) == 0.02


def test_350_grams_short_make_the_sheet_0_37_mm_thin():
    area = cold_area(cavity_length=1.250, cavity_width=0.840, shrinkage=0.022)
    assert thickness_effect(-0.350, density=950, cold_area=area) == pytest.approx(-0.37e-3, abs=0.005e-3)


@given(dry=masses, moisture=st.floats(0, 0.2))
def test_moist_flake_weighed_for_a_dry_mass_holds_that_mass(dry, moisture):
    assert wet_mass(dry_mass=dry, moisture=moisture) * (1 - moisture) == pytest.approx(dry, rel=1e-12)


@pytest.mark.parametrize("shrinkage", [-0.01, 1.0, 2.2])
def test_a_shrinkage_in_percent_or_negative_is_refused_with_the_way_to_write_it(shrinkage):
    with pytest.raises(OutOfRange, match=r"2\.2 % is 0\.022"):
        cold_length(cavity=1.25, shrinkage=shrinkage)


def test_a_cavity_for_no_plastic_is_refused():
    with pytest.raises(OutOfRange, match="at least one plastic"):
        cavity_for(trimmed=1.2, trim=0.01, shrinkages=[])


@pytest.mark.parametrize("bad", [0.0, -950.0, float("nan"), float("inf")])
def test_a_density_that_is_no_density_is_refused(bad):
    with pytest.raises(OutOfRange, match="density is"):
        net_charge(thickness=0.012, density=bad, cold_area=1.0)


def test_a_recipe_without_parts_is_refused():
    with pytest.raises(OutOfRange, match="at least one part"):
        split_by_shares(11.74, shares=[], step=0.02)
