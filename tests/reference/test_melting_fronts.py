"""Moving fronts: Stefan's one-phase and Neumann's two-phase melting.

Carslaw & Jaeger (1959) §11.2; the one-phase equation read in Crank's lecture notes, the book from memory,
numbers recomputed. The engine melts within a range: the range is halved and the answer taken to zero width.
"""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest

from flatstock.heat.layers import Layer, charge
from flatstock.heat.pile import Outcome, run
from flatstock.heat.polymer import Polymer
from tests.heat.columns import HELD, INSULATED, column, film, plain


def graded(polymer: Polymer, temperature: float, fine: float, cells: int, depth: float) -> Layer:
    """Equal cells through `fine` [kg/m2], then each 5 % wider than the one before, down to `depth`."""
    widths = [fine / cells] * cells
    while sum(widths) < depth:
        widths.append(widths[-1] * 1.05)
    flat = charge(polymer, mass=sum(widths), temperature=temperature, cells=len(widths))
    return replace(flat, capacity=np.array(widths))


def melted_depth(outcome: Outcome, density: float) -> float:
    """Melted mass as a thickness [m]."""
    layer = outcome.pile.layers[0]
    return float(np.sum(layer.capacity * layer.memory[:, 0])) / density


def stefan(st: float, width: float) -> float:
    """λ of a solid at its melting point whose face is held 50 K above it."""
    density, k, c = 850.0, 0.25, 2500.0
    melting = plain(k=k, c=c, density=density, melts_at=132, width=width, latent=c * 50 / st)
    reach = 2 * sqrt(k / (density * c) * 600)
    # the solid waits at the start of the range, so that no heat leads ahead of the front
    depth = reach * min(1.0, sqrt(st)) * density
    solid = graded(melting, 132 - width / 2, depth, 350, 1.6 * depth)
    pile = column([solid], bottom=film(HELD, 182), top=INSULATED)
    return melted_depth(run(pile, duration=600, tolerance=0.02), density) / reach


@pytest.mark.parametrize(
    ("st", "expected"), [(0.1, 0.22002), (0.3, 0.36988), (0.5, 0.46479), (1.0, 0.62006), (2.0, 0.80060)]
)
def test_a_front_into_a_solid_at_its_melting_point_follows_stefan(st, expected):
    """Ranges of 1 and 0.5 K of 50 K taken to width 0: 0.08 % of λ, of which the width leaves 0.05."""
    assert 2 * stefan(st, 0.5) - stefan(st, 1.0) == pytest.approx(expected, rel=8e-4)


NEUMANN = {
    "k": 0.40,
    "c": 2000.0,
    "melt_k": 0.25,
    "melt_c": 2500.0,
    "density": 850.0,
    "melts_at": 132.0,
    "latent": 180e3,
}


def neumann(width: float) -> tuple[float, float]:
    """Front [m] and flux into the face [W/m2] at 600 s: face at 190, everything at 20 °C at first."""
    material = plain(**NEUMANN, width=width)
    fine = 1.25 * 4.4e-3 * 850
    # the far end is 3.6 diffusion lengths √(4αt) of the solid away
    depth = 3.6 * sqrt(4 * 0.40 / (850 * 2000) * 600) * 850
    body = graded(material, 20, fine, 750, depth)
    end = run(column([body], bottom=film(HELD, 190), top=INSULATED), duration=600, tolerance=0.005)
    return melted_depth(end, 850), -float(end.history.power[-1, 2])


def test_a_front_through_two_phases_follows_neumann_as_the_range_narrows():
    """Front 4.396 mm, flux 3373.9 W/m² at 600 s. Error in proportion to the range of 4, 2, 1 K (6 cells and
    more in each); taken to width 0 within 0.05 %."""
    front, flux = np.array([neumann(width) for width in (4.0, 2.0, 1.0)]).T
    off = front / 4.396e-3 - 1
    assert off[0] / off[1] == pytest.approx(2, abs=0.3)
    assert off[1] / off[2] == pytest.approx(2, abs=0.3)
    assert 2 * front[2] - front[1] == pytest.approx(4.396e-3, rel=5e-4)
    assert 2 * flux[2] - flux[1] == pytest.approx(3373.9, rel=5e-4)
