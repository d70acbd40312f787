"""The hot press of one charge over the ranges of its inputs, as columns that are marched together."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flatstock.heat import rates as r
from flatstock.heat.batch import Cycles, Varied, hot_cycles
from flatstock.heat.pile import lay_out
from flatstock.heat.press import HotPress, Mould
from flatstock.plastics.model import Process
from flatstock.pressing.bands import SAMPLES, Draws, draw, relative
from flatstock.pressing.polymers import HOT_FIELDS, Material, inputs, rows
from flatstock.pressing.rig import MouldSet, back_film
from flatstock.pressing.surface import FITTED, spread
from flatstock.workshop.shop import HotPress as ShopHotPress

__all__ = ["COARSE_CELLS", "COARSE_PLATEN_CELLS", "FACE_CLOCK", "HotColumns", "spent_by"]

Array = NDArray[np.float64]
COARSE_CELLS, COARSE_PLATEN_CELLS, COARSE_TOLERANCE = 20, 4, 1.0
FACE_CLOCK = "activation energy of the face's clock"
#: inputs of the press whose bands count, and the field of the shop's press
PRESS_INPUTS = {
    "platen contact": "contact_closed",
    "flake contact": "sheet_contact_loose",
    "melt contact": "sheet_contact_wet",
    "edge film": "edge_film",
    "bottom heaters": "power_bottom",
    "top heaters": "power_top",
}


@dataclass(frozen=True, eq=False, kw_only=True)
class HotColumns:
    """One charge in one hot press. Seconds from loading, °C, J."""

    thermal: Material
    process: Process
    shop_press: ShopHotPress
    mould: MouldSet
    room: float
    target: float  #: of the coldest point
    face_levels: tuple[float, float]  #: what the face bears [s at 200 °C] and where it ends; inf: no such end
    longest: float  #: that a dwell is looked at

    @cached_property
    def draws(self) -> Draws:
        """The inputs that have bands: of the plastic, of the press."""
        own = {name: getattr(self.shop_press, field) for name, field in PRESS_INPUTS.items()}
        film = {"back film": back_film(self.shop_press, self.mould)}
        clock = {} if self.process.face_activation is None else {FACE_CLOCK: self.process.face_activation}
        plastics = inputs(self.thermal, HOT_FIELDS)
        first = dict(list(plastics.items())[: len(HOT_FIELDS)])
        # what a draw has no room for keeps its typical value: then the plastics of which there is least
        return draw(first | own | film | clock | plastics)

    def marched(self, press: HotPress, mould: Mould, grid: Array) -> tuple[Cycles, Cycles]:
        """Every column of the band, and one with the typical inputs, of a mould as it is laid down on coarse cells.

        `grid`: instants at which they report their heat.
        """
        return self._march(press, mould, grid, SAMPLES)

    def fitted(self, press: HotPress, mould: Mould, grid: Array) -> tuple[Cycles, Cycles]:
        """The same from a surface fitted to fewer columns."""
        few, one = self._march(press, mould, grid, FITTED)
        wide = Cycles(
            melt=spread(self.draws, few.melt),
            latest=few.latest,  # columns that never spend the face leave no surface to fit
            lowest=few.lowest,
            energy=few.energy,
        )
        return wide, one

    def _march(self, press: HotPress, mould: Mould, grid: Array, few: int) -> tuple[Cycles, Cycles]:
        """So many columns of the draws, and one with the typical inputs."""
        drawn = {
            name: np.append(self.draws[name][:few], value.value) for name, value in self.draws.inputs.items()
        }
        count = few + 1
        layout = lay_out(press.around(mould))
        k, n = COARSE_PLATEN_CELLS, COARSE_CELLS
        joints = np.repeat(layout.joints[None], count, axis=0)
        for place in (k - 1, k + n + 1):  # platen and skin
            joints[:, r.CLOSED, place] = drawn["platen contact"]
        for place in (k, k + n):  # skin and charge
            joints[:, r.CLOSED, place] = drawn["flake contact"]
            joints[:, r.CLOSED_WET, place] = joints[:, r.OPEN_WET, place] = drawn["melt contact"]
        ends = np.repeat(layout.ends[None], count, axis=0)
        ends[:, :, r.FILM] = drawn["back film"][:, None]
        heaters = np.repeat(layout.heaters[None], count, axis=0)
        for side, name in enumerate(("bottom heaters", "top heaters")):
            if heaters[0, side, r.LIMIT] > 0:
                heaters[:, side, r.LIMIT] = drawn[name] / self.mould.area
        allowance, limit = self.face_levels
        found = hot_cycles(
            layout,
            Varied(
                polymers=rows(self.thermal, drawn, count),
                joints=joints,
                ends=ends,
                heaters=heaters,
                edge=relative(drawn["edge film"], self.shop_press.edge_film),
            ),
            melt_level=self.target,
            dose_level=min(allowance, 1e12),
            face_level=min(limit, 1e6),
            activation=drawn.get(FACE_CLOCK, np.zeros(count)),
            room=self.room,
            close_after=press.close_after,
            longest=self.longest,
            grid=grid,
            tolerance=COARSE_TOLERANCE,
        )
        return found.part(0, few), found.part(few, count)


def spent_by(dwell: float, grid: Array, cycles: Cycles) -> Array:
    """Heat from the heaters until `dwell`, of each column [J/m2]: straight between the instants of the grid."""
    place = min(max(dwell, grid[0]), grid[-1])
    i = min(int(np.searchsorted(grid, place, side="right")) - 1, len(grid) - 2)
    share = (place - grid[i]) / (grid[i + 1] - grid[i])
    spent: Array = cycles.energy[:, i] + share * (cycles.energy[:, i + 1] - cycles.energy[:, i])
    return spent
