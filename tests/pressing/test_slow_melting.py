"""Where the coldest point comes slowly to its target a card's grid is fine enough still."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.evidence import Value
from flatstock.heat.pile import Until
from flatstock.pressing import heating as module
from flatstock.pressing.heating import LONGEST, Heating
from flatstock.pressing.setting import set_out
from flatstock.workshop.shop import HotPress, Workshop

NONE = Value(0.0, 0.0, 0.0, "measured", "this test", "W")


def heating_of(shop: Workshop, press: HotPress, thickness: float) -> Heating:
    other = replace(shop, hot_presses={press.id: press})
    setting = set_out(other, plastic="hdpe", thickness=thickness, any_lot=True)
    assert setting.thermal is not None
    assert setting.process is not None
    return module.heat(
        setting.plastic,
        press=setting.press,
        mould=setting.mould,
        room=20.0,
        set_point=195.0,
        thickness=thickness,
        mass=thickness * 950.0,
        moisture=0.0,
    )


def melted(heating: Heating, cells: int, tolerance: float) -> float:
    press, mould = heating.loaded(cells, 8)
    until = Until(kind="coldest_above", level=heating.target)
    return press.hold(mould, duration=LONGEST, until=until, tolerance=tolerance)[2].time


@pytest.mark.parametrize("film", [0.5, 2.0])
def test_melting_through_from_one_side_does_not_hang_on_the_grid(shop: Workshop, film: float):
    """The coldest point lies at a face and levels off a few kelvin above its target: 48 cells are 1-2 % early."""
    back = Value(film, film, film, "assumed", "this test", "W/m2K")
    press = replace(shop.hot_presses["HP1"], power_top=NONE, loss=None, back_film=back)
    heating = heating_of(shop, press, 0.006)
    finest = melted(heating, 384, 0.001)
    # less than 0.1 K of the coldest point
    assert heating.melt_history.time == pytest.approx(finest, rel=2.5e-3)
    assert abs(melted(heating, 48, 0.1) / finest - 1) > 3e-3  # so the finer grid is needed


@pytest.mark.parametrize("thickness", [0.006, 0.018])
def test_a_press_that_heats_both_sides_briskly_keeps_its_quick_grid(shop: Workshop, thickness: float):
    heating = heating_of(shop, shop.hot_presses["HP1"], thickness)
    assert heating.melt_history.pile.layers[2].temperature.size == module.FINE_CELLS
    assert heating.melt_history.time == pytest.approx(melted(heating, 384, 0.001), rel=2e-3)
