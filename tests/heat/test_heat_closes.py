"""Energy in = energy stored + energy out, whatever is put in: 1e-8 of throughput is asked, rounding is met."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.heat.layers import Joint, sheet
from flatstock.heat.pile import Pile, Until, run
from flatstock.heat.stack import Arrival, cool_stack
from tests.heat.columns import hot_column, hot_mould, stack_place, steel
from tests.heat.materials import COMMON, FEW, between, outsides, polymers, presses


@FEW
@given(pile=presses(), duration=between(1, 2000), tolerance=st.sampled_from([0.005, 0.05, 1.0]))
def test_a_hot_press_closes_its_account(pile, duration, tolerance):
    end = run(pile, duration=duration, close_after=30, tolerance=tolerance)
    assert end.time == duration
    assert end.energy.closure < 1e-8
    assert all(np.all(np.isfinite(layer.temperature)) for layer in end.pile.layers)


@FEW
@given(polymer=polymers(), ends=outsides(), start=between(20, 200), x=between(0, 1), mass=between(1, 30),
       steps=st.sampled_from([0.01, 0.5]))  # fmt: skip
def test_a_cooling_sheet_closes_its_account_from_any_molten_fraction(polymer, ends, start, x, mass, steps):
    """Also one that the two curves don't allow at that temperature: it moves onto the nearer one first."""
    lump = sheet(polymer, mass=mass, temperature=start, cells=8, melted=x)
    joint = Joint(100, 500, 3000, 3000)
    pile = Pile((steel(0.002, 20), lump, steel(0.01, 150, 3)), (joint, joint), *ends, room=20, edge_film=8,
                perimeter_per_area=4)  # fmt: skip
    end = run(pile, duration=5000, tolerance=steps)
    assert end.energy.closure < 1e-8
    assert np.all((end.pile.layers[1].memory[:, 0] >= 0) & (end.pile.layers[1].memory[:, 0] <= 1))


@FEW
@given(gaps=st.lists(between(0, 3000), min_size=1, max_size=4))
def test_a_growing_stack_closes_its_account(gaps):
    moulds = [Arrival(hot_mould(cells=6), float(when)) for when in np.cumsum(gaps)]
    assert cool_stack(stack_place(2), moulds, end=20_000).energy.closure < 1e-8


@FEW
@given(pile=presses(COMMON, wet=False), first=between(5, 300))
def test_a_run_in_two_parts_ends_where_one_run_ends(pile, first):
    """Every cell is carried over; only the steps differ: within 0.2 K of 150 to 230 °C.

    Dry: boiling begins and ends at a kink, where a grid of few cells answers a step more coarsely.
    """
    whole = run(pile, duration=400, tolerance=0.005)
    part = run(run(pile, duration=first, tolerance=0.005).pile, duration=400 - first, tolerance=0.005)
    for a, b in zip(whole.pile.layers, part.pile.layers, strict=True):
        assert np.max(np.abs(a.temperature - b.temperature)) < 0.2


@FEW
@given(polymer=COMMON, thickness=between(0.003, 0.03), kind=st.sampled_from(["proportional", "on_off"]))
def test_a_run_with_a_tenth_of_the_tolerance_and_twice_the_cells_agrees(polymer, thickness, kind):
    """0.2 % of melt-through for 3 to 30 mm, as docs/heat.md asks of the default grid."""

    def melts(cells: int, tolerance: float) -> float:
        pile = hot_column(
            polymer, thickness=thickness, set_points=(205, 205), loaded_at=(205, 205), kind=kind, cells=cells
        )
        until = Until(kind="coldest_above", level=185)
        return run(pile, duration=14_400, until=until, close_after=30, tolerance=tolerance).time

    assert melts(48, 0.02) == pytest.approx(melts(96, 0.002), rel=2e-3)
