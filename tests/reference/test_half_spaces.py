"""Two half-spaces that touch, perfectly and with a conductance.

Carslaw & Jaeger (1959) §2.15 for perfect contact, §2.16 and appendix II for exp(H²) erfc(H); the book
from memory, numbers recomputed.
"""

from math import sqrt

import numpy as np
import pytest
from scipy.special import erfcx

from flatstock.heat.layers import Joint, Metal, metal, sheet
from flatstock.heat.pile import Outcome, run
from tests.heat.columns import INSULATED, PERFECT, column, plain

PLASTIC = plain(k=0.45, c=2000, density=950)
STEEL = Metal(density=7850, specific_heat=480, conductivity=50)
ALUMINIUM = Metal(density=2700, specific_heat=900, conductivity=205)


def effusivity(k: float, density: float, c: float) -> float:
    return sqrt(k * density * c)


def touch(hot: Metal, joint: Joint, seconds: float = 1.0) -> Outcome:
    """Metal at 200 °C below plastic at 20 °C, both deep enough: 4.5 diffusion lengths √(4αt)."""

    def depth(k: float, density: float, c: float) -> float:
        return 4.5 * sqrt(4 * k / (density * c) * seconds)

    below = metal(
        hot, thickness=depth(hot.conductivity, hot.density, hot.specific_heat), temperature=200, cells=400
    )
    above = sheet(PLASTIC, mass=950 * depth(0.45, 950, 2000), temperature=20, cells=400, melted=0.0)
    pile = column([below, above], bottom=INSULATED, top=INSULATED, joint=joint)
    return run(pile, duration=seconds, tolerance=1e-4)


@pytest.mark.parametrize(("hot", "expected"), [(STEEL, 188.64), (ALUMINIUM, 192.84)])
def test_two_bodies_meet_at_the_temperature_of_their_effusivities(hot, expected):
    """0.01 K as listed; it holds from the first moment on, so also at half time."""
    history = touch(hot, PERFECT).history
    assert history.face[-1, 0] == pytest.approx(expected, abs=0.01)
    assert np.interp(0.5, history.time, history.face[:, 0]) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("conductance", [300.0, 1000.0, 3000.0])
def test_contact_with_a_conductance_follows_exp_h2_erfc_h(conductance):
    """T_face = T_0 + ΔT e_hot/(e_hot+e_cold) (1 - exp(H²) erfc(H)), H = h √t (1/e_hot + 1/e_cold).

    0.005 K: 400 cells leave 0.001 K of a face that is 100 K away from its start.
    """
    hot, cold = effusivity(50, 7850, 480), effusivity(0.45, 950, 2000)
    end = touch(STEEL, Joint.fixed(conductance))
    h = conductance * sqrt(1.0) * (1 / hot + 1 / cold)
    expected = 20 + 180 * hot / (hot + cold) * (1 - erfcx(h))
    assert end.history.face[-1, 0] == pytest.approx(expected, abs=0.005)
