"""The melting curve, the freezing curve and what lies between: published checks of docs/heat.md on HDPE.

The play rule is Visintin's operator (Differential Models of Hysteresis, 1994; from memory).
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from flatstock.heat.laws import frozen, melted, specific_enthalpy
from flatstock.heat.layers import Joint, sheet
from flatstock.heat.pile import Pile, Until, run
from tests.heat.columns import HDPE, HELD, INSULATED, column, film, steel

ROW = HDPE.row()


def test_two_moulds_without_losses_settle_where_their_heat_says():
    """Both at 126.783 °C, X 0.1617 below (heating curve), 1.0000 above (cooling curve): published to 0.01 K.

    2 mm each between 2 mm skins; a poor joint lets them approach without overshoot.
    """
    solid = sheet(HDPE, mass=955 * 0.002, temperature=110, cells=6, melted=0.0)
    melt = sheet(HDPE, mass=955 * 0.002, temperature=146, cells=6, melted=1.0)
    low, high = steel(0.002, 110), steel(0.002, 146)
    good, poor = Joint.fixed(1000), Joint.fixed(5)
    pile = Pile(
        (low, solid, low, high, melt, high), (good, good, poor, good, good), INSULATED, INSULATED, room=20
    )
    end = run(pile, duration=200_000, tolerance=1e-3)
    below, above = end.pile.layers[1], end.pile.layers[4]
    assert [below.temperature.mean(), above.temperature.mean()] == pytest.approx([126.783] * 2, abs=0.01)
    assert below.memory[:, 0].mean() == pytest.approx(0.1617, abs=2e-4)
    assert above.memory[:, 0] == pytest.approx(1.0, abs=1e-12)
    assert end.energy.closure < 1e-12


def test_the_molten_fraction_remembers_its_way():
    """160 → 119 → 130 → 119.5 → 100 °C: 0.4222 at 119 and until 129.33, 0.5000 at 130 and at 119.5, 0 in the end.

    Published in docs/heat.md's check of the play rule to four digits, hence 1e-4; 0.005 K of the 129.33 °C printed.
    """
    thin = sheet(HDPE, mass=0.02, temperature=160, cells=3, melted=1.0)
    got = {}
    for name, t in (("a", 125.6), ("b", 119.0), ("c", 129.3), ("d", 130.0), ("e", 119.6), ("f", 100.0)):
        end = run(column([thin], bottom=film(HELD, t), top=film(HELD, t)), duration=60, tolerance=1e-3)
        thin = end.pile.layers[0]
        assert thin.temperature == pytest.approx(t, abs=1e-4)
        got[name] = float(thin.memory[:, 0].mean())
    assert got == pytest.approx({"a": 1.0, "b": 0.4222, "c": 0.4222, "d": 0.5, "e": 0.5, "f": 0.0}, abs=1e-4)
    assert brentq(lambda t: melted(t, ROW) - frozen(119.0, ROW), 122, 138) == pytest.approx(129.33, abs=0.005)


def test_slow_cooling_in_one_lump_follows_its_quadrature():
    """15 277 s from 180 to 60 °C, published and by quadrature of (M dh_c/dT + C) / 2(T - 20) here.

    0.15 %: 0.1 for the published value and 0.04 for the resistance inside the lump.
    """
    melt = sheet(HDPE, mass=955 * 0.002, temperature=180, cells=6, melted=1.0)
    skin = steel(0.002, 180)
    pile = replace(
        column([skin, melt, skin], bottom=film(1, 20), top=film(1, 20)), joints=(Joint.fixed(1e4),) * 2
    )
    done = run(pile, duration=50_000, until=Until(kind="hottest_below", level=60), tolerance=1e-3)

    def slowness(t: float) -> float:
        h = [specific_enthalpy(s, frozen(s, ROW), ROW) for s in (t - 1e-3, t + 1e-3)]
        return (955 * 0.002 * (h[1] - h[0]) / 2e-3 + 2 * 7850 * 480 * 0.002) / (2 * (t - 20))

    lump = quad(slowness, 60, 180, points=[113.5, 119.5, 125.5], limit=200)[0]
    assert lump == pytest.approx(15_277, rel=2e-4)
    assert done.time == pytest.approx(lump, rel=1e-3)
    assert done.time == pytest.approx(15_277, rel=1.5e-3)


@pytest.mark.parametrize("level", [115.0, 120.0, 124.5])
def test_a_solid_sheet_reheated_below_its_melting_range_has_not_re_melted(level):
    """The freezing curve would call it half molten at 119.5 °C; coming from cold it is solid up to 122 °C.

    The heating curve S((T - 122)/16) of docs/heat.md, "Plastic": 1e-4 of X at a temperature that is met to 0.01 K.
    """
    solid = sheet(HDPE, mass=955 * 0.004, temperature=60, cells=8, melted=0.0)
    end = run(column([solid], bottom=film(500, level), top=film(500, level)), duration=4000, tolerance=0.01)
    layer = end.pile.layers[0]
    assert layer.temperature == pytest.approx(level, abs=0.01)
    assert layer.memory[:, 0] == pytest.approx(melted(level, ROW), abs=1e-4)
    assert np.max(layer.memory[:, 0]) < 0.04
