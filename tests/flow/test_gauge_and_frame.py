"""Gauge, force, pressure on the sheet, and what the frame carries."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.flow.pressure import carried_by_frame, gauge_for, land_force, press_force, sheet_pressure

cylinders = {
    "piston_diameter": st.floats(0.02, 0.4),
    "pistons": st.integers(1, 6),
    "sheet_area": st.floats(0.02, 4),
}


def test_the_demo_press_gives_300_kilonewtons_at_195_bar():
    assert press_force(gauge=195e5, piston_diameter=0.140) / 1e3 == pytest.approx(300, abs=0.5)


def test_that_is_0_29_megapascal_on_the_demo_sheet():
    assert sheet_pressure(gauge=195e5, piston_diameter=0.140, sheet_area=1.05) / 1e6 == pytest.approx(
        0.29, abs=0.005
    )


@given(pressure=st.floats(0, 1e6), carried=st.floats(0, 1e5), **cylinders)
def test_the_gauge_for_a_pressure_gives_that_pressure(
    pressure, carried, piston_diameter, pistons, sheet_area
):
    press = {
        "piston_diameter": piston_diameter,
        "pistons": pistons,
        "sheet_area": sheet_area,
        "carried": carried,
    }
    gauge = gauge_for(pressure=pressure, **press)
    assert sheet_pressure(gauge=gauge, **press) == pytest.approx(pressure, rel=1e-9, abs=1e-6)


def test_two_pistons_need_half_the_gauge_of_one():
    one = gauge_for(pressure=0.25e6, piston_diameter=0.14, sheet_area=1.05)
    assert gauge_for(pressure=0.25e6, piston_diameter=0.14, sheet_area=1.05, pistons=2) == pytest.approx(
        one / 2
    )


@given(force=st.floats(0, 1e6), area=st.floats(0.1, 3), melt=st.floats(0, 2e6))
def test_frame_and_melt_together_carry_the_closing_force_or_the_frame_carries_nothing(force, area, melt):
    frame = carried_by_frame(force=force, sheet_area=area, melt_pressure=melt)
    assert frame == pytest.approx(force - melt * area) or (frame == 0 and melt * area >= force)


def test_a_frame_that_carries_the_whole_force_leaves_no_pressure_on_the_sheet():
    assert sheet_pressure(gauge=195e5, piston_diameter=0.140, sheet_area=1.05, carried=400e3) == 0.0


def test_what_the_frame_carries_is_missing_on_the_sheet():
    press = {"gauge": 195e5, "piston_diameter": 0.140, "sheet_area": 1.05}
    frame = carried_by_frame(
        force=press_force(gauge=195e5, piston_diameter=0.140), sheet_area=1.05, melt_pressure=0.1e6
    )
    assert sheet_pressure(**press, carried=frame) == pytest.approx(0.1e6)


def test_melt_on_the_land_carries_8_percent_of_the_force_on_the_demo_sheet():
    assert land_force(pressure=0.25e6, perimeter=4.18, land=0.040) / (0.25e6 * 1.05) == pytest.approx(
        0.08, abs=0.001
    )


def test_a_press_without_pistons_is_refused():
    with pytest.raises(OutOfRange, match="pistons is 0"):
        press_force(gauge=195e5, piston_diameter=0.140, pistons=0)
