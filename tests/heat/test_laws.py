"""The compiled laws: they invert, they are smooth where the bed's formula is singular, they meet printed numbers."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from flatstock.heat.laws import BED_FORM, bed_conductivity, frozen, melted, specific_enthalpy, state_at
from flatstock.heat.polymer import Bed
from tests.heat.columns import HDPE, PP
from tests.heat.materials import FEW, between, polymers


@FEW
@given(polymer=polymers(), t=between(-20, 260), x=between(0, 1), guess=between(-20, 260))
def test_temperature_and_enthalpy_are_each_others_inverse(polymer, t, x, guess):
    """Wherever the two curves allow `x`, from any first guess: 1e-6 K."""
    p = polymer.row()
    x = min(max(x, melted(t, p)), frozen(t, p))
    found, slope, fraction, _, _ = state_at(specific_enthalpy(t, x, p), guess, x, p)
    assert found == pytest.approx(t, abs=1e-6)
    assert fraction == pytest.approx(x, abs=1e-6)
    assert slope > 0


@FEW
@given(polymer=polymers(), t=between(-20, 260))
def test_heating_never_melts_more_than_cooling_leaves(polymer, t):
    p = polymer.row()
    assert 0 <= melted(t, p) <= frozen(t, p) <= 1


@pytest.mark.parametrize(
    ("polymer", "void", "t", "expected"),
    [(HDPE, 0.50, 23, 0.1127), (HDPE, 0.50, 100, 0.1229), (HDPE, 0.634, 23, 0.0878), (PP, 0.50, 23, 0.0847),
     (PP, 0.50, 100, 0.0978)],
)  # fmt: skip
def test_the_bed_conducts_as_printed(polymer, void, t, expected):
    """Numbers of docs/heat.md, "Flake bed", to their last digit."""
    p = replace(polymer, bed=Bed(void=void)).row()
    solid = polymer.solid_k_23 + polymer.solid_k_slope * (t - 23)
    assert bed_conductivity(float(t), solid, p) == pytest.approx(expected, abs=5e-5)


def test_the_bed_is_smooth_where_its_formula_is_singular():
    """Across N = 0, by the form factor that brings it there: slopes on both sides and inside within 1 %."""
    p = HDPE.row()
    solid, t = 0.46, 23.0
    gas = 0.0244 + 7.1e-5 * t
    kr = 4 * 5.670374419e-8 * (t + 273.15) ** 3 * 2.5e-3 / (2 / 0.9 - 1) / gas
    at_zero = solid / gas + kr  # the B for which N = 0
    forms = at_zero * np.linspace(0.9, 1.1, 401)
    values = []
    for form in forms:
        p[BED_FORM] = form
        values.append(bed_conductivity(t, solid, p))
    slopes = np.diff(values) / np.diff(forms)
    assert np.all(slopes > 0) or np.all(slopes < 0)
    assert np.max(np.abs(np.diff(slopes)) / np.abs(slopes[:-1])) < 0.01


@pytest.mark.parametrize("void", [0.0, 1e-9, 1e-3])
def test_a_bed_without_voids_is_solid(void):
    p = replace(HDPE, bed=Bed(void=void)).row()
    assert bed_conductivity(23.0, 0.46, p) == pytest.approx(0.46, rel=0.01)


def test_film_fluff_conducts_little_more_than_air():
    p = replace(HDPE, bed=Bed(void=0.9, grain=0.3e-3)).row()
    assert 0.026 < bed_conductivity(23.0, 0.46, p) < 0.06
