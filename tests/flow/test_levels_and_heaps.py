"""How high melt and flake stand, on the workshop's cases."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.flow.level import Filling, heap_advice, heap_height, hot_level, proud_height

HDPE, FILM = 0.03388, 0.0906  # heaps of 11.74 kg at 330 kg/m3 and 11.41 kg at 120 kg/m3 [m]


def advice(**changes):
    return heap_advice(
        **{"heap": HDPE, "settled": 0.0147, "frame": 0.012, "skins": 0.004, "daylight": 0.180} | changes
    )


@pytest.mark.parametrize(
    ("net", "melt_density", "level_mm"),
    [(11.45, 760, 14.35), (11.13, 769, 13.8), (11.06, 752, 14.0), (13.04, 970, 12.8), (13.01, 940, 13.2)],
)
def test_12_mm_charges_of_the_demo_stand_as_high_as_tabled(net, melt_density, level_mm):
    level = hot_level(mass=net, melt_density=melt_density, cavity_area=1.05)
    assert 1e3 * level == pytest.approx(level_mm, abs=0.051)


def test_a_12_mm_charge_stands_2_35_mm_proud_of_a_12_mm_frame_and_14_7_high_with_its_allowance():
    net = hot_level(mass=11.449, melt_density=760, cavity_area=1.05)
    whole = hot_level(mass=11.737, melt_density=760, cavity_area=1.05)
    assert proud_height(level=net, frame=0.012) == pytest.approx(2.35e-3, abs=0.005e-3)
    assert whole == pytest.approx(14.7e-3, abs=0.05e-3)


def test_melt_that_does_not_fill_the_frame_is_proud_by_a_negative_height():
    assert proud_height(level=0.011, frame=0.012) == pytest.approx(-0.001)


@pytest.mark.parametrize(("mass", "bulk", "heap_mm"), [(11.74, 330, 34), (11.41, 120, 91)])
def test_loose_flake_heaps_as_high_as_tabled(mass, bulk, heap_mm):
    assert round(1e3 * heap_height(mass=mass, bulk_density=bulk, cavity_area=1.05)) == heap_mm


def test_a_34_mm_heap_in_a_12_mm_frame_fits_under_180_mm_daylight():
    assert advice().filling is Filling.FITS


def test_a_91_mm_heap_of_film_is_filled_in_two_steps_with_a_collar_and_says_how_high():
    answer = advice(heap=FILM, settled=0.0138)
    assert answer.filling is Filling.TWO_STEPS
    assert answer.above_frame == pytest.approx((FILM + 0.0138) / 2 - 0.012)


def test_a_91_mm_heap_does_not_fit_a_press_that_opens_70_mm():
    assert advice(heap=FILM, settled=0.0138, daylight=0.070).filling is Filling.TOO_HIGH


def test_a_collar_too_low_for_the_second_heap_does_not_do():
    tall = {"heap": 0.140, "settled": 0.014}
    assert advice(**tall, collar=0.080).filling is Filling.TWO_STEPS
    assert advice(**tall, collar=0.050).filling is Filling.TOO_HIGH


def test_a_heap_that_lies_by_itself_but_not_under_the_platen_is_filled_in_two_steps_without_a_collar():
    answer = advice(daylight=0.050)
    assert answer.filling is Filling.TWO_STEPS
    assert answer.above_frame < 0.040


@given(heap=st.floats(0.001, 0.4), more=st.floats(0, 0.3), daylight=st.floats(0.05, 0.6))
def test_a_heap_that_fits_also_fits_under_more_daylight(heap, more, daylight):
    order = [Filling.FITS, Filling.TWO_STEPS, Filling.TOO_HIGH]
    less = order.index(advice(heap=heap, daylight=daylight).filling)
    assert order.index(advice(heap=heap, daylight=daylight + more).filling) <= less


@given(heap=st.floats(0.001, 0.4), daylight=st.floats(0.05, 0.6))
def test_advice_that_is_not_a_refusal_opens_no_wider_than_the_daylight(heap, daylight):
    answer = advice(heap=heap, daylight=daylight)
    if answer.filling is not Filling.TOO_HIGH:
        assert answer.opening <= daylight
