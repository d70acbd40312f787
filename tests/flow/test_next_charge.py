"""The last sheet corrects the next charge, and its weighings are checked first."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.flow.charge import net_charge, sheet_thickness
from flatstock.flow.correction import Balance, corrected_charge, mass_balance

AREA, DENSITY = 1.0043, 950.0


@given(
    thickness=st.floats(0.004, 0.03),
    wanted=st.floats(0.004, 0.03),
    flash=st.floats(0, 2),
    flash_next=st.floats(0, 2),
)
def test_one_correction_brings_the_sheet_to_the_wanted_thickness(thickness, wanted, flash, flash_next):
    charge = net_charge(thickness=thickness, density=DENSITY, cold_area=AREA) + flash
    answer = corrected_charge(
        charge=charge,
        thickness=thickness,
        wanted=wanted,
        density=DENSITY,
        cold_area=AREA,
        flash=flash,
        flash_next=flash_next,
    )
    sheet = sheet_thickness(mass=answer.charge - flash_next, density=DENSITY, cold_area=AREA)
    assert sheet == pytest.approx(wanted, rel=1e-9)


@given(thickness=st.floats(0.004, 0.03), wanted=st.floats(0.004, 0.03))
def test_correcting_there_and_back_again_gives_the_first_charge(thickness, wanted):
    charge = 1.025 * net_charge(thickness=thickness, density=DENSITY, cold_area=AREA) + 30
    there = corrected_charge(
        charge=charge, thickness=thickness, wanted=wanted, density=DENSITY, cold_area=AREA
    )
    back = corrected_charge(
        charge=there.charge, thickness=wanted, wanted=thickness, density=DENSITY, cold_area=AREA
    )
    assert back.charge == pytest.approx(charge, rel=1e-12)


def test_a_sheet_that_came_out_right_leaves_the_charge_alone():
    answer = corrected_charge(charge=11.74, thickness=0.012, wanted=0.012, density=DENSITY, cold_area=AREA)
    assert (answer.charge, answer.change) == (11.74, 0.0)


def test_the_change_says_how_much_is_for_thickness_and_how_much_for_flash():
    answer = corrected_charge(
        charge=11.74,
        thickness=0.0116,
        wanted=0.012,
        density=DENSITY,
        cold_area=AREA,
        flash=0.62,
        flash_next=0.29,
    )
    assert answer.for_thickness == pytest.approx(950 * 1.0043 * 0.0004)
    assert answer.for_flash == pytest.approx(-0.33)
    assert answer.change == pytest.approx(answer.for_thickness + answer.for_flash)


def test_a_correction_that_leaves_no_charge_is_refused():
    with pytest.raises(OutOfRange, match="corrected_charge is -"):
        corrected_charge(charge=1.0, thickness=0.020, wanted=0.006, density=DENSITY, cold_area=AREA)


def test_240_grams_less_than_the_charge_are_called_missing_with_where_they_may_have_gone():
    answer = mass_balance(charge=11.74, sheet=11.20, flash=0.30)
    assert answer.balance is Balance.MISSING
    assert answer.missing == pytest.approx(0.24)
    assert "flash not all collected" in answer.balance.value


def test_water_that_boils_off_is_not_missing():
    assert mass_balance(charge=11.74, sheet=11.20, flash=0.30, water=0.20).balance is Balance.CLOSES


def test_a_sheet_heavier_than_its_charge_points_at_the_scale():
    answer = mass_balance(charge=11.74, sheet=11.90, flash=0.10)
    assert answer.balance is Balance.TOO_MUCH
    assert answer.share == pytest.approx(-0.26 / 11.74)


@given(sheet=st.floats(1, 20), flash=st.floats(0, 2), lost=st.floats(-0.1, 0.1))
def test_the_balance_closes_exactly_when_the_rest_is_within_the_share(sheet, flash, lost):
    charge = sheet + flash + lost
    answer = mass_balance(charge=charge, sheet=sheet, flash=flash, closes_within=0.01)
    assert (answer.balance is Balance.CLOSES) == (abs(answer.missing / charge) <= 0.01)
