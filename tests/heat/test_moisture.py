"""Water in the flake holds it at 100 °C until it has boiled off, and takes 2.26 MJ/kg along."""

import numpy as np
import pytest

from flatstock.heat.pile import run
from tests.heat.columns import HDPE, PP, hot_column


@pytest.mark.parametrize("moisture", [0.002, 0.01, 0.05])
def test_the_steam_takes_the_waters_latent_heat(moisture):
    """m_w · 2.26 MJ/m² to rounding, once everything is hot."""
    end = run(
        hot_column(PP, thickness=0.006, moisture=moisture, cells=12, set_points=(210, 210)),
        duration=6000,
        close_after=30,
    )
    assert end.energy.steam == pytest.approx(moisture * 905 * 0.006 * 2.26e6, rel=1e-9)
    assert end.energy.closure < 1e-8
    assert np.all(end.pile.layers[2].memory[:, 2] == 0)


def test_a_wet_cell_waits_at_100_degrees():
    """The middle of 6 mm with 2 % of water: a plateau at 100.0 °C that a dry one doesn't have."""
    waits = []
    for moisture in (0.0, 0.02):
        pile = hot_column(HDPE, thickness=0.006, moisture=moisture, cells=13)
        end = run(pile, duration=1500, close_after=30, profiles=True)
        assert end.history.profile is not None
        middle = end.history.profile[:, 0, pile.slice_of(2)][:, 6]
        at_100 = np.abs(middle - 100) < 1e-6
        waits.append(float(np.sum(np.diff(end.history.time)[at_100[1:]])))
    assert waits[0] == 0
    assert waits[1] > 10


def test_one_percent_of_water_adds_about_four_percent_of_heat():
    """docs/heat.md, "Flake bed": heat taken up by 12 mm of HDPE to 165 °C is about 0.6 MJ/kg; 1 % adds 0.0226."""
    dry, wet = (
        run(hot_column(HDPE, thickness=0.012, moisture=m, cells=16), duration=4000, close_after=30)
        for m in (0, 0.01)
    )
    assert wet.energy.steam / (dry.pile.layers[2].stored) == pytest.approx(0.04, abs=0.01)
