"""Columns side by side give what the same columns give one by one, on the same grid at the same tolerance."""

from dataclasses import replace

import numpy as np
import pytest

from flatstock.heat.batch import Varied, cold_rows, hot_cycles
from flatstock.heat.batch_stack import stacks
from flatstock.heat.layers import Joint
from flatstock.heat.pile import Arrays, Pile, Until, lay_out, run
from flatstock.heat.press import ColdPress
from flatstock.heat.readings import last_above
from flatstock.heat.stack import Arrival, cool_stack
from tests.heat.columns import HDPE, hot_column, hot_mould, stack_place, steel, still_air

TOLERANCE = 0.05
ACTIVATION = 100e3


def together(piles: list[Pile], edge: list[float] | None = None) -> tuple[Arrays, Varied]:
    """Piles of one layout as the rows of a batch."""
    layouts = [lay_out(pile) for pile in piles]
    parts = [
        np.array([getattr(a, name) for a in layouts]) for name in ("polymers", "joints", "ends", "heaters")
    ]
    return layouts[0], Varied(*parts, edge=np.array(edge or [1.0] * len(piles)))


def cycles(
    piles: list[Pile],
    *,
    melt: float = 165.0,
    dose: float = 1800.0,
    face: float = 230.0,
    longest: float = 14_400,
):
    grid = np.linspace(0, 1500, 16)
    layout, varied = together(piles)
    return grid, hot_cycles(
        layout, varied, melt_level=melt, dose_level=dose, face_level=face, activation=ACTIVATION, room=20,
        close_after=30, longest=longest, grid=grid, tolerance=TOLERANCE,
    )  # fmt: skip


def alone(pile: Pile, until: Until | None, duration: float = 14_400):
    return run(
        pile, duration=duration, until=until, close_after=30, activation=ACTIVATION, tolerance=TOLERANCE
    )


PRESSES = [
    hot_column(HDPE, cells=24),
    hot_column(replace(HDPE, melt_k_180=0.3, latent=170e3), cells=24, set_points=(200, 195)),
    hot_column(HDPE, cells=24, kind="on_off", power=6e3),
]


def test_press_cycles_side_by_side_melt_through_and_dip_as_alone():
    """Melt-through to 2e-5: the same march over a table of 256 nodes, not 1024; dips by a parabola and not a cubic, 0.02 K."""
    _, many = cycles(PRESSES)
    for i, pile in enumerate(PRESSES):
        one = alone(pile, Until(kind="coldest_above", level=165))
        assert many.melt[i] == pytest.approx(one.time, rel=2e-5)
        assert many.lowest[i] == pytest.approx(one.history.sensor.min(axis=0), abs=0.02)


def test_press_cycles_side_by_side_spend_their_face_as_alone():
    """0.5 %: the batch goes on from melt-through with other steps, and the clock is a trapezoid over each of them."""
    _, many = cycles(PRESSES)
    for i, pile in enumerate(PRESSES):
        one = alone(pile, Until(kind="face_spent", level=1800, limit=230))
        assert many.latest[i] == pytest.approx(one.time, rel=5e-3)


def test_a_face_that_is_spent_before_melt_through_is_told():
    """25 mm at 215 °C: the allowance of 30 min at 200 °C is gone long before the middle is through."""
    thick = hot_column(HDPE, thickness=0.025, cells=24, set_points=(215, 215), loaded_at=(215, 215))
    _, many = cycles([thick])
    one = alone(thick, Until(kind="face_spent", level=1800, limit=230))
    assert many.latest[0] < 0.7 * many.melt[0]
    assert many.latest[0] == pytest.approx(one.time, rel=5e-4)


def test_what_is_not_reached_is_nan():
    _, many = cycles([hot_column(HDPE, cells=24, thickness=0.03)], longest=600, dose=1e9, face=1e6)
    assert np.isnan(many.melt[0])
    assert np.isnan(many.latest[0])


def test_energies_on_the_way_are_those_of_the_run_alone():
    """Straight between steps: 0.2 % of the heat so far, from a minute on."""
    grid, many = cycles(PRESSES[:2])
    for i, pile in enumerate(PRESSES[:2]):
        h = alone(pile, None, duration=1500).history
        heat = np.interp(grid, h.time, h.energy[:, 0] + h.energy[:, 1])
        assert many.energy[i, 1:] == pytest.approx(heat[1:], rel=2e-3)


def test_rows_in_a_cooling_press_side_by_side_open_as_alone():
    """Three in a row every 50 min; the third is not open before the next comes. 0.1 %."""
    below, above = still_air()
    plate = steel(0.020, 20, 4)
    mould = hot_mould(HDPE, cells=16)
    colds = [
        ColdPress(lower=plate, upper=plate, outer=(below, above), plate_skin=Joint.fixed(500),
                  skin_sheet=Joint.fixed(contact), room=20, edge_film=8, rim_film=0, perimeter_per_area=4)
        for contact in (500, 800)
    ]  # fmt: skip
    layout, varied = together([cold.around(mould) for cold in colds])
    got = cold_rows(
        layout, varied, moulds=3, level=80, every=3000, room=20, plate_cells=4, tolerance=TOLERANCE
    )
    for row, cold in enumerate(colds):
        expected = []
        for _ in range(3):
            after, _, one = cold.hold(
                mould, duration=3000, until=Until(kind="hottest_below", level=80), tolerance=TOLERANCE
            )
            expected.append(one.time if one.reached else np.nan)
            cold = after.stand_empty(3000 - one.time, tolerance=TOLERANCE)
        assert got[row] == pytest.approx(expected, rel=1e-3, nan_ok=True)
    assert np.isnan(got[0, 2])


def test_stacks_side_by_side_cool_as_alone():
    """Hottest points within 0.02 K, readiness within 0.05 %, re-melted fraction to 1e-4; one edge film twice the other."""
    arrivals, end = np.array([0.0, 2400.0, 4800.0]), 60_000.0
    mould, place = hot_mould(HDPE, cells=12), stack_place(2)
    whole = place.pile([mould] * 3, *place.plates)
    layout, varied = together([whole, whole], edge=[1.0, 2.0])
    got = stacks(
        layout, varied, plate_cells=(2, 2), cells_per_mould=14, arrivals=arrivals, end=end, levels=np.full(3, 45.0),
        asked=20_000, room=20, tolerance=TOLERANCE,
    )  # fmt: skip
    for row, film in enumerate((8, 16)):
        one = cool_stack(
            replace(place, edge_film=film),
            [Arrival(mould, t) for t in arrivals],
            end=end,
            tolerance=TOLERANCE,
        )
        assert got.hottest[row] == pytest.approx([one.hottest_at(i, 20_000) for i in range(3)], abs=0.02)
        assert got.open_after[row] == pytest.approx([one.below(i, 45) for i in range(3)], rel=5e-4)
        assert got.peak[row] == pytest.approx([one.peak(i) for i in range(3)], abs=1e-6)
        assert got.remelted[row] == pytest.approx([one.remelted(i) for i in range(3)], abs=1e-4)


def test_a_stack_that_is_looked_at_too_soon_is_not_ready():
    mould, place = hot_mould(HDPE, cells=12), stack_place(2)
    layout, varied = together([place.pile([mould] * 2, *place.plates)])
    got = stacks(
        layout, varied, plate_cells=(2, 2), cells_per_mould=14, arrivals=np.zeros(2), end=3600, levels=np.full(2, 45.0),
        asked=3000, room=20, tolerance=TOLERANCE,
    )  # fmt: skip
    assert np.all(np.isnan(got.open_after))
    one = cool_stack(place, [Arrival(mould, 0.0)] * 2, end=3600, tolerance=TOLERANCE)
    assert last_above(45, one.time[0], one.hottest[0], one.hottest_rate[0]) is None


def test_the_numbers_of_many_draws_are_those_of_each_drawn_alone():
    drawn = {"latent": np.array([150e3, 190e3]), "bed_void": np.array([0.4, 0.6])}
    alone = [
        replace(HDPE, latent=latent, bed=replace(HDPE.bed, void=void)).row()
        for latent, void in zip(*drawn.values(), strict=True)
    ]
    np.testing.assert_array_equal(HDPE.rows(drawn), alone)


def test_a_stage_of_more_steps_than_a_record_holds_is_read_to_its_end():
    """Some 9000 steps where a record holds 4000; readiness within 0.05 % and the hottest point within 0.02 K."""
    mould, place = hot_mould(HDPE, cells=4), stack_place(1)
    whole = place.pile([mould], *place.plates)
    layout, varied = together([whole])
    asked = {"plate_cells": (1, 1), "cells_per_mould": 6, "arrivals": np.zeros(1), "end": 60_000, "room": 20,
             "levels": np.full(1, 45.0), "asked": 25_000}  # fmt: skip
    plain, fine = (stacks(layout, varied, tolerance=tolerance, **asked) for tolerance in (1e-3, 1e-7))
    assert run(whole, duration=60_000, tolerance=1e-7).steps > 2 * 4000
    assert fine.open_after == pytest.approx(plain.open_after, rel=5e-4)
    assert fine.hottest == pytest.approx(plain.hottest, abs=0.02)
