"""Columns are marched several at once: none of them hears of the others.

To 5e-5 with steps of 1 K (1.6e-5 was the worst seen). Where elimination meets depends on whether any column's heaters follow
their sensor, and a last digit may tip whether a step is refused; that this is all of it has not been proven.
"""

from dataclasses import replace

import numpy as np
import pytest

from flatstock.heat import rates as r
from flatstock.heat.batch import Cycles, Varied, cold_rows, hot_cycles
from flatstock.heat.blend import Blend
from flatstock.heat.lanes import WIDTH
from flatstock.heat.layers import Joint, charge
from flatstock.heat.pile import Pile, Until, lay_out, run
from flatstock.heat.press import ColdPress
from tests.heat.columns import HDPE, PP, hot_column, hot_mould, steel, still_air

COUNT = 2 * WIDTH + 3


def varied(pile: Pile, count: int = COUNT) -> Varied:
    """Columns of one pile that differ in latent heat, contacts, edge film and heaters."""
    layout, spread = lay_out(pile), np.linspace(0.8, 1.25, count)
    polymers, joints, heaters = (
        np.repeat(x[None], count, axis=0) for x in (layout.polymers, layout.joints, layout.heaters)
    )
    polymers[:, :, 2] *= spread[:, None]
    joints[:, r.CLOSED] *= spread[::-1, None]
    heaters[:, :, r.LIMIT] *= spread[:, None] ** 2
    return Varied(polymers, joints, np.repeat(layout.ends[None], count, axis=0), heaters, spread)


def some(of: Varied, columns: list[int] | np.ndarray) -> Varied:
    """Those columns, in that order."""
    return Varied(*(x[columns] for x in (of.polymers, of.joints, of.ends, of.heaters, of.edge)))


def pressed(pile: Pile, columns: Varied) -> Cycles:
    return hot_cycles(
        lay_out(pile), columns, melt_level=175, dose_level=900, face_level=230, activation=1e5, room=20,
        close_after=30, longest=14_400, grid=np.linspace(0, 1500, 7), tolerance=1.0,
    )  # fmt: skip


def numbers(cycles: Cycles) -> np.ndarray:
    return np.column_stack([cycles.melt, cycles.latest, cycles.lowest, cycles.energy])


def blended() -> Pile:
    """A charge of two plastics."""
    pile = hot_column(HDPE, cells=12)
    flake = charge(Blend(((0.7, HDPE), (0.3, PP))), mass=11.0, temperature=20.0, cells=12)
    return replace(pile, layers=(*pile.layers[:2], flake, *pile.layers[3:]))


PILES = {
    "on and off": hot_column(HDPE, cells=12, kind="on_off"),
    "proportional": hot_column(HDPE, cells=12),
    "moist": hot_column(HDPE, cells=12, moisture=0.01),
    "blend": blended(),
}


@pytest.mark.parametrize("pile", PILES.values(), ids=PILES)
def test_a_pressed_column_answers_in_any_company_and_order_as_alone(pile):
    columns = varied(pile)
    together = numbers(pressed(pile, columns))
    assert np.all(np.isfinite(together[:, 0]))
    order = np.random.default_rng(7).permutation(COUNT)
    assert numbers(pressed(pile, some(columns, order))) == pytest.approx(
        together[order], rel=5e-5, nan_ok=True
    )
    for i in (0, WIDTH, COUNT - 1):
        alone = numbers(pressed(pile, some(columns, [i])))[0]
        assert alone == pytest.approx(together[i], rel=5e-5, nan_ok=True)


def test_a_cooled_column_answers_in_any_company_and_order_as_alone():
    below, above = still_air()
    plate = steel(0.020, 20, 4)
    press = ColdPress(lower=plate, upper=plate, outer=(below, above), plate_skin=Joint.fixed(500),
                      skin_sheet=Joint.fixed(500), room=20, edge_film=8, rim_film=0, perimeter_per_area=4)  # fmt: skip
    pile = press.around(hot_mould(HDPE, cells=8))
    columns = varied(pile)

    def opened(which):
        return cold_rows(
            lay_out(pile),
            some(columns, which),
            moulds=3,
            level=80,
            every=3000,
            room=20,
            plate_cells=4,
            tolerance=0.5,
        )

    together = opened(np.arange(COUNT))
    assert np.all(np.isfinite(together[:, 0]))
    order = np.random.default_rng(8).permutation(COUNT)
    assert opened(order) == pytest.approx(together[order], rel=5e-5, nan_ok=True)
    assert opened([COUNT - 1])[0] == pytest.approx(together[-1], rel=5e-5, nan_ok=True)


@pytest.mark.parametrize("name", ["moist", "blend"])
def test_moist_charges_and_blends_side_by_side_melt_through_as_alone(name):
    """2e-4: the table of a band's column has 256 nodes, a run's own 1024."""
    layout = lay_out(PILES[name])
    one = Varied(
        *(x[None] for x in (layout.polymers, layout.joints, layout.ends, layout.heaters)), edge=np.ones(1)
    )
    alone = run(
        PILES[name], duration=14_400, until=Until(kind="coldest_above", level=175), close_after=30, activation=1e5,
        tolerance=1.0,
    )  # fmt: skip
    assert pressed(PILES[name], one).melt[0] == pytest.approx(alone.time, rel=2e-4)
