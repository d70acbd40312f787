"""Melting and freezing curves and the memory between them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.plastics import library
from flatstock.plastics.melting import melted_on_cooling, melted_on_heating, play, smooth_step

PRESSED = ("hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs")


def along(name: str, path: list[float], before: float) -> list[float]:
    """X after each temperature of `path`."""
    found = []
    for temperature in path:
        before = play(library()[name].thermal, temperature, before=before)
        found.append(before)
    return found


def test_a_path_of_cooling_reheating_and_cooling_remembers():
    """Public check 13.1 of the heat model, HDPE, 160 → 119 → 130 → 100 °C."""
    at_119, back_up, at_130, at_1195, solid = along("hdpe", [119, 129.33, 130, 119.5, 113.5], before=1.0)
    assert at_119 == pytest.approx(0.4222, abs=5e-5)
    assert back_up == pytest.approx(
        0.4222, abs=2e-3
    )  # the temperature of the meeting point is printed to 0.01 K
    assert at_130 == pytest.approx(0.5, abs=1e-12)
    assert at_1195 == pytest.approx(0.5, abs=1e-12)
    assert solid == 0.0


def test_a_cooled_melt_stays_melt_down_to_the_freezing_range():
    assert along("hdpe", [160, 140, 130, 125.5], before=1.0) == [1.0, 1.0, 1.0, 1.0]


def test_a_partly_frozen_sheet_keeps_its_fraction_while_the_curves_lie_apart():
    assert along("hdpe", [119, 122, 126, 129], before=1.0) == [pytest.approx(0.4222, abs=5e-5)] * 4


@given(name=st.sampled_from(PRESSED), temperature=st.floats(0, 260))
def test_heating_never_melts_more_than_cooling_leaves_molten(name, temperature):
    it = library()[name].thermal
    assert 0.0 <= melted_on_heating(it, temperature) <= melted_on_cooling(it, temperature) <= 1.0


@given(
    name=st.sampled_from(PRESSED),
    path=st.lists(st.floats(20, 240), min_size=1, max_size=12),
    before=st.floats(0, 1),
)
def test_the_memory_always_lies_between_the_curves(name, path, before):
    it = library()[name].thermal
    for temperature in path:
        before = play(it, temperature, before=before)
        assert melted_on_heating(it, temperature) <= before <= melted_on_cooling(it, temperature)


@given(u=st.floats(-2, 3), v=st.floats(-2, 3))
def test_the_step_rises_from_0_to_1_and_is_symmetric(u, v):
    assert 0.0 <= smooth_step(u) <= 1.0
    assert smooth_step(u) + smooth_step(1 - u) == pytest.approx(1.0, abs=1e-12)
    if u <= v:
        assert smooth_step(u) <= smooth_step(v) + 1e-12
