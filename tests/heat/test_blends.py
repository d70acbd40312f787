"""A charge of several plastics: it is each of them at the ends, lies between in between, and its heat adds up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.heat.blend import Blend
from flatstock.heat.layers import charge, sheet
from flatstock.heat.pile import Until, run
from flatstock.heat.press import Mould
from tests.heat.columns import HDPE, HELD, PP, PS, column, film, hot_column, hot_mould, stack_place, steel
from tests.heat.materials import FEW, between, polymers

TRACE = 1e-9  #: a share so small that only the other plastic is left
MASS = 11.0


def pressed(polymer, *, moisture=0.0, kind="proportional", cells=24):
    """The press of docs/heat.md at 200 °C, until the core of 11 kg/m2 has 185 °C."""
    press = hot_column(
        PP, set_points=(200, 200), loaded_at=(200, 200), kind=kind, cells=cells, moisture=moisture
    )
    flake = charge(polymer, mass=MASS, temperature=20, cells=cells, moisture=moisture)
    press = replace(press, layers=(*press.layers[:2], flake, *press.layers[3:]))
    return run(press, duration=14_400, until=Until(kind="coldest_above", level=185), close_after=30)


@pytest.mark.parametrize(
    ("blend", "alone"),
    [
        (Blend(((1 - TRACE, HDPE), (TRACE, PP))), HDPE),
        (Blend(((TRACE, HDPE), (1 - TRACE, PP))), PP),
        (Blend(((0.3, HDPE), (0.7, HDPE))), HDPE),
    ],
)
@pytest.mark.parametrize("moisture", [0.0, 0.01])
def test_a_blend_of_one_plastic_is_that_plastic(blend, alone, moisture):
    """Melt-through within 1e-5: the tables of the two are integrated by Simpson's rule at other points."""
    one, other = (
        pressed(blend, moisture=moisture, kind="on_off"),
        pressed(alone, moisture=moisture, kind="on_off"),
    )
    assert one.time == pytest.approx(other.time, rel=1e-5)
    assert one.energy.heaters == pytest.approx(other.energy.heaters, rel=1e-4)


def test_the_more_of_the_slower_plastic_the_later_is_it_melted_through():
    shares = (TRACE, 0.05, 0.3, 0.5, 0.7, 0.95, 1 - TRACE)
    times = [pressed(Blend(((1 - share, HDPE), (share, PP)))).time for share in shares]
    assert times == sorted(times)


@FEW
@given(
    one=polymers(), other=polymers(), share=between(0.02, 0.98), moisture=st.sampled_from([0.0, 0.01]),
    kind=st.sampled_from(["proportional", "on_off"]),
)  # fmt: skip
def test_heat_closes_for_any_blend_in_any_press(one, other, share, moisture, kind):
    """1e-8 of throughput, as for one plastic."""
    try:
        flake = charge(
            Blend(((share, one), (1 - share, other))), mass=8.0, temperature=20, cells=8, moisture=moisture
        )
    except OutOfRange:  # one of them melts below 20 °C
        reject()
    press = hot_column(PP, cells=8, kind=kind)
    press = replace(press, layers=(*press.layers[:2], flake, *press.layers[3:]))
    end = run(press, duration=1500, close_after=30, tolerance=0.5)
    assert end.energy.closure < 1e-8
    parts = end.pile.layers[2].memory[:, 3:]
    assert np.all((parts >= 0) & (parts <= 1))
    assert end.pile.layers[2].memory[:, 0] == pytest.approx(parts @ np.array([share, 1 - share]), abs=1e-6)


def test_each_part_melts_and_freezes_in_its_own_range_and_remembers_it():
    """160 → 143 → 120 → 123 °C, by hand: HDPE molten, PP at X_m(160), then HDPE at X_c(120), PP at X_c(120), both held.

    X = S(u) of docs/heat.md: PP S(12/22) on heating to 160; on cooling to 120 PP S(3/12), HDPE S(6.5/12); at 123 °C
    neither has come to its heating curve, so both stay.
    """

    def s(u):
        return u**3 * (10 - 15 * u + 6 * u * u)

    thin = sheet(Blend(((0.6, HDPE), (0.4, PP))), mass=0.02, temperature=20, cells=3, melted=0.0)
    expected = {
        160.0: (1.0, s(12 / 22)),
        143.0: (1.0, s(12 / 22)),
        120.0: (s(6.5 / 12), s(3 / 12)),
        123.0: (s(6.5 / 12), s(3 / 12)),
    }
    for level, parts in expected.items():
        end = run(
            column([thin], bottom=film(HELD, level), top=film(HELD, level)), duration=60, tolerance=1e-3
        )
        thin = end.pile.layers[0]
        assert thin.memory[:, 3:] == pytest.approx(np.array([parts] * 3), abs=2e-4)
        assert thin.memory[:, 0] == pytest.approx(0.6 * parts[0] + 0.4 * parts[1], abs=2e-4)


def test_a_blend_laid_on_a_stack_melts_its_lower_melting_part_alone_again():
    """HDPE (122 to 138 °C) beside PP (148 to 170): the mould on top brings it to about 125 °C."""
    both = Blend(((0.5, HDPE), (0.5, PP)))
    cold = sheet(both, mass=11, temperature=110, cells=12, melted=0.0)
    warm = steel(0.002, 110)
    top = hot_mould(PP, temperature=185, thickness=0.024, cells=12)
    place = stack_place()
    plates = tuple(
        replace(plate, temperature=np.full_like(plate.temperature, 120.0)) for plate in place.plates
    )
    end = run(place.pile([Mould(warm, cold, warm), top], *plates), duration=1800, tolerance=0.05)
    parts = end.pile.layers[2].memory[:, 3:].max(axis=0)
    assert parts[0] > 0.05
    assert parts[1] == 0.0
    assert end.energy.closure < 1e-8


@pytest.mark.parametrize(
    "parts", [((1.0, HDPE),), ((0.5, HDPE), (0.4, PP)), ((1.2, HDPE), (-0.2, PP)), ((1.0, HDPE), (0.0, PS))]
)
def test_shares_that_are_no_blend_are_refused(parts):
    with pytest.raises(OutOfRange, match=r"no blend|do not sum to 1"):
        Blend(parts)
