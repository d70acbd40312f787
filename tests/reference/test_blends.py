"""A charge of two plastics against sums written out by hand, from the laws of docs/heat.md alone.

No code of the engine's laws is used here: numbers of the two plastics are those of docs/plastics.md, the laws are
docs/heat.md, "Plastic" and "Blends" (sums by mass over parts at one temperature; enthalpy is additive for parts that
do not dissolve in each other, any textbook of thermodynamics).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from flatstock.heat.blend import Blend
from flatstock.heat.layers import Joint, sheet
from flatstock.heat.pile import Until, run
from tests.heat.columns import HDPE, HELD, PP, column, film, steel

SHARE = 0.7  # of HDPE
BLEND = Blend(((SHARE, HDPE), (1 - SHARE, PP)))
# density, cps0, cps1, cpl0, cpl1, L, T_f, Tm1, Tm2, Tc1, Tc2, ks0, ks1, kl0, vs1, vl0, vl1
BY_HAND = (
    (SHARE, 955, 1751.0, 4.1921, 2701.6, 3.1440, 202.17e3, 132, 122, 138, 113.5, 125.5, 0.46, -14.286e-4, 0.26,
     4.0207e-7, 1.3063e-3, 1.0337e-6),
    (1 - SHARE, 905, 1864.9, 4.2802, 2671.5, 3.6426, 103.5e3, 163, 148, 170, 117, 129, 0.22, -2.5974e-4, 0.18,
     4.4957e-7, 1.3150e-3, 0.7604e-6),
)  # fmt: skip


def smooth(u):
    u = min(max(u, 0.0), 1.0)
    return u**3 * (10 - 15 * u + 6 * u * u)


def enthalpy(t: float, *, cooling: bool) -> float:
    """Σ w h(T, X), each part on its own heating or cooling curve [J/kg]."""
    total = 0.0
    for w, _, cps0, cps1, cpl0, cpl1, latent, at, tm1, tm2, tc1, tc2, *_ in BY_HAND:

        def solid(s, cps0=cps0, cps1=cps1):
            return cps0 * (s - 23) + 0.5 * cps1 * (s - 23) ** 2

        melt = solid(at) + latent + cpl0 * (t - at) + 0.5 * cpl1 * ((t - 180) ** 2 - (at - 180) ** 2)
        x = smooth((t - tc1) / (tc2 - tc1)) if cooling else smooth((t - tm1) / (tm2 - tm1))
        total += w * ((1 - x) * solid(t) + x * melt)
    return total


@pytest.mark.parametrize("t", [60.0, 125.0, 131.0, 143.0, 158.0, 185.0])
def test_the_heat_taken_up_is_the_sum_of_its_parts(t):
    """Held at t on both faces until nothing moves: within 0.01 %, which the last 0.01 K to the face leave."""
    mass = 2.0
    cold = sheet(BLEND, mass=mass, temperature=23, cells=6, melted=0.0)
    end = run(column([cold], bottom=film(HELD, t), top=film(HELD, t)), duration=1e5, tolerance=0.01)
    assert end.pile.stored == pytest.approx(mass * enthalpy(t, cooling=False), rel=1e-4)


def test_slow_cooling_of_a_blend_in_one_lump_follows_its_quadrature():
    """From 190 to 60 °C: (M dh_c/dT + C) / 2(T - 20), both plastics freezing in their own ranges.

    0.1 %, of which the resistance inside the lump is 0.04 (as for HDPE, docs/heat.md's check of slow cooling).
    """
    mass = 1.9
    melt = sheet(BLEND, mass=mass, temperature=190, cells=6, melted=1.0)
    skin = steel(0.002, 190)
    pile = replace(
        column([skin, melt, skin], bottom=film(1, 20), top=film(1, 20)), joints=(Joint.fixed(1e4),) * 2
    )
    done = run(pile, duration=50_000, until=Until(kind="hottest_below", level=60), tolerance=1e-3)

    def slowness(t: float) -> float:
        rise = (enthalpy(t + 1e-3, cooling=True) - enthalpy(t - 1e-3, cooling=True)) / 2e-3
        return (mass * rise + 2 * 7850 * 480 * 0.002) / (2 * (t - 20))

    lump = quad(slowness, 60, 190, points=[113.5, 117.0, 119.5, 123.0, 125.5, 129.0], limit=400)[0]
    assert done.time == pytest.approx(lump, rel=1e-3)


@pytest.mark.parametrize(("low", "high"), [(40.0, 80.0), (175.0, 195.0)])
def test_a_wall_of_two_plastics_conducts_as_their_conductivities_by_mass(low, high):
    """Steady flux through a finished sheet, ∫ k dT over its height: k = Σ w k, v = Σ w v, both linear in T here.

    0.02 %: the flux through half cells in series is exact to second order in the steps of temperature.
    """
    mass = 5.0
    wall = sheet(BLEND, mass=mass, temperature=0.5 * (low + high), cells=48, melted=1.0 if low > 100 else 0.0)
    end = run(column([wall], bottom=film(HELD, low), top=film(HELD, high)), duration=2e5, tolerance=0.01)

    def over_volume(t: float) -> float:
        k = v = 0.0
        for w, density, *_, ks0, ks1, kl0, vs1, vl0, vl1 in BY_HAND:
            k += w * (kl0 if low > 100 else ks0 + ks1 * (t - 23))
            v += w * (vl0 + vl1 * (t - 180) if low > 100 else 1 / density + vs1 * (t - 23))
        return k / v

    flux = quad(over_volume, low, high)[0] / mass
    assert float(end.history.power[-1, 2]) == pytest.approx(flux, rel=2e-4)
    assert np.ptp(end.history.power[-1, 2:4] * [1, -1]) == pytest.approx(0, abs=1e-3 * flux)
