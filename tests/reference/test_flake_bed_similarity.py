"""A half-space of flake bed whose face is held hot: all laws of docs/heat.md together, against an ordinary equation.

The laws depend on η = m/√t only. The equation is written and solved here anew (own laws, SciPy), and
both it and the engine are held against the project's published numbers of this check.
"""

from math import log, sqrt

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from flatstock.heat.layers import charge
from flatstock.heat.pile import Outcome, run
from tests.heat.columns import HDPE, HELD, INSULATED, column, film

SECONDS = 240.0
UPTAKE = 126_799.0  # J/m2 s^½, published
DEPTHS = {170: 0.06308, 150: 0.12893, 138: 0.17066, 130: 0.19737, 122: 0.21390, 100: 0.25391, 60: 0.35385}


def step(u: float) -> float:
    u = min(max(u, 0.0), 1.0)
    return u**3 * (10 - 15 * u + 6 * u**2)


def melted(t: float) -> float:
    return step((t - 122) / 16)


def enthalpy(t: float) -> float:
    solid = 1751.0 * (t - 23) + 0.5 * 4.1921 * (t - 23) ** 2
    at_132 = 1751.0 * 109 + 0.5 * 4.1921 * 109**2
    melt = at_132 + 202.17e3 + 2701.6 * (t - 132) + 0.5 * 3.1440 * ((t - 180) ** 2 - 48**2)
    return (1 - melted(t)) * solid + melted(t) * melt


def conductance(t: float) -> float:
    """g = k/v of bed and melt at consolidation = melted fraction."""
    x, void = melted(t), 0.5
    dense = (1 - x) * (0.46 - 14.286e-4 * (t - 23)) + x * 0.26
    gas = 0.0244 + 7.1e-5 * t
    kp = dense / gas
    b = 1.40 * ((1 - void) / void) ** (10 / 9)
    kr = 4 * 5.670374419e-8 * (t + 273.15) ** 3 * 0.0025 / (2 / 0.9 - 1) / gas
    n = 1 + (kr - b) / kp
    core = 2 / n * (
        b * (kp + kr - 1) / (n**2 * kp) * log((kp + kr) / b) + (b + 1) / (2 * b) * (kr - b) - (b - 1) / n
    )  # fmt: skip
    bed = gas * ((1 - sqrt(1 - void)) * void * (1 / void + kr) + sqrt(1 - void) * (0.001 * kp + 0.999 * core))
    volume = (1 - x) * (1 / 955 + 4.0207e-7 * (t - 23)) + x * (1.3063e-3 + 1.0337e-6 * (t - 180))
    return (x * dense + (1 - x) * bed) * (1 - void * (1 - x)) / volume


def shoot(flux: float):
    """g T' = F, F' = -η/2 dh/dη: outwards from the face at 190 °C with F(0) = -flux."""

    def slopes(eta, state):
        t = state[0]
        g = conductance(t)
        c = (enthalpy(t + 1e-4) - enthalpy(t - 1e-4)) / 2e-4
        return [state[1] / g, -0.5 * eta * c * state[1] / g]

    cold = lambda eta, s: s[0] - 5.0  # noqa: E731
    spent = lambda eta, s: s[1] + 1e-4  # noqa: E731
    cold.terminal = spent.terminal = True
    return solve_ivp(slopes, (0, 3), [190.0, -flux], method="LSODA", rtol=1e-9, atol=1e-8, events=(cold, spent),
                     max_step=2e-3, dense_output=True)  # fmt: skip


@pytest.fixture(scope="module")
def shot():
    def miss(flux: float) -> float:
        end = shoot(flux)
        return end.y[0, -1] - 20.0

    return shoot(brentq(miss, 55_000, 75_000, xtol=1e-3))


def engine(cells: int) -> Outcome:
    body = charge(HDPE, mass=14.0, temperature=20, cells=cells)
    return run(column([body], bottom=film(HELD, 190), top=INSULATED), duration=SECONDS, tolerance=2e-3)


def uptake(outcome: Outcome) -> float:
    return -outcome.energy.outer_bottom / sqrt(SECONDS)


def test_the_ordinary_equation_gives_the_published_numbers(shot):
    """Heat taken up is 2 F(0) √t: 0.01 % (it meets 126 797.6), and the depths within 0.03 %.

    At 130 °C, on the steep front, equation and engine both give 0.19760 where 0.19737 is published.
    """
    assert -2 * shot.y[1, 0] == pytest.approx(UPTAKE, rel=1e-4)
    for t, eta in DEPTHS.items():
        found = brentq(lambda e, t=t: shot.sol(e)[0] - t, 1e-6, shot.t[-1])
        assert found == pytest.approx(eta, rel=1.5e-3 if t == 130 else 3e-4)


def test_the_engine_takes_up_what_the_ordinary_equation_says(shot):
    """0.05 % of the heat on 800 cells, of which 200 have molten or are melting."""
    end = engine(800)
    assert uptake(end) == pytest.approx(-2 * shot.y[1, 0], rel=5e-4)
    layer = end.pile.layers[0]
    middles = (np.cumsum(layer.capacity) - 0.5 * layer.capacity) / sqrt(SECONDS)
    for t in DEPTHS:
        eta = brentq(lambda e, t=t: shot.sol(e)[0] - t, 1e-6, shot.t[-1])
        assert np.interp(-t, -layer.temperature, middles) == pytest.approx(eta, rel=5e-4)


def test_halving_the_cells_of_the_bed_divides_the_error_by_3_7_or_more(shot):
    """Order 2 in space with a front between bed and melt; docs/heat.md asks for 3.7 a halving."""
    exact = -2 * shot.y[1, 0]
    coarse, middle, fine = (abs(uptake(engine(n)) / exact - 1) for n in (100, 200, 400))
    assert coarse / middle > 3.7
    assert middle / fine > 3.7


def test_the_laws_written_here_are_those_of_the_engine():
    """Same potential ∫ k/v dT between 20 and 190 °C, by quadrature here and by the engine's table: 1e-5."""
    from flatstock.heat.pile import _table

    _row, table = _table(HDPE)
    nodes = table[
        :-1
    ]  # four coefficients of T to the next node, then four of the potential; none behind the last
    at = [np.interp(t, nodes[:, 0], nodes[:, 4]) for t in (20.0, 190.0)]
    whole = quad(conductance, 20, 190, points=[122, 138], epsrel=1e-10, limit=200)[0]
    assert at[1] - at[0] == pytest.approx(whole, rel=1e-5)
