"""What a lot must pass, what its water does, and what it weighs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.intake.origins import missing_tests, required_tests
from flatstock.intake.weighing import against_scale, judge_part, water_of


def asked_of(origin, **more):
    return {one.test for one in required_tests(origin, **more)}


@pytest.mark.parametrize(
    "origin", ["electrical", "Electrical goods", "WEEE", "e-scrap from nowhere", "unknown", ""]
)
def test_electrical_and_unknown_lots_need_a_bromine_result(origin):
    assert "bromine" in asked_of(origin)


def test_a_black_household_lot_needs_a_bromine_result_and_a_green_one_does_not():
    assert "bromine" in asked_of("household", colour="black")
    assert "bromine" not in asked_of("household", colour="green")


def test_a_test_that_was_done_is_not_asked_for_again():
    assert [one.test for one in missing_tests("virgin", done={"paper"})] == ["moisture"]


def test_water_in_a_charge_becomes_as_many_litres_as_in_the_job_map():
    """Job map B4: 0.3 % of 11.7 kg is 35 g, 74 L at 190 °C in the open and 21 L at 0.25 MPa above the air."""
    water = water_of(charge=11.7, moisture=0.003, set_point=190.0, pressure=0.25e6)
    assert (1e3 * water.water, water.litres_open, water.litres_pressed) == pytest.approx(
        (35.1, 74, 21.4), rel=0.01
    )
    assert water.advice == "press"


def test_more_water_than_the_safety_rules_allow_is_dried_first():
    assert water_of(charge=5.67, moisture=0.0035, set_point=205.0, pressure=0.25e6).advice == "dry first"


def test_a_part_of_a_charge_has_its_share_of_the_tolerance():
    part = judge_part(target=2.0, actual=2.03, charge=10.0, tolerance=0.1, step=0.005)
    assert (part.verdict, part.tolerance) == ("over", pytest.approx(0.02))


def test_a_tolerance_is_never_finer_than_the_scale():
    assert judge_part(target=0.5, actual=0.52, charge=10.0, tolerance=0.05, step=0.02).verdict == "right"


@given(st.floats(0.01, 20), st.floats(0.01, 20))
def test_the_tolerances_of_parts_add_up_to_the_charges(a, b):
    fine = [judge_part(target=one, actual=one, charge=a + b, tolerance=0.05, step=1e-9) for one in (a, b)]
    assert sum(part.tolerance for part in fine) == pytest.approx(0.05)


def test_steps_of_the_scale_explain_a_small_difference_and_not_a_bag():
    drawn = (11.74,) * 10
    assert against_scale(received=200.0, weighed=drawn, scale=82.55, step=0.02).verdict == "agrees"
    assert (
        against_scale(received=200.0, weighed=drawn, scale=75.0, step=0.02).verdict == "less than on the book"
    )
