"""How a stack cools: typical run and band, for a stack, a rack or a press that takes moulds on each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np
from numpy.typing import NDArray

from flatstock.evidence import Value
from flatstock.heat import rates as r
from flatstock.heat.batch import Varied
from flatstock.heat.batch_stack import Stacks, stacks
from flatstock.heat.pile import lay_out
from flatstock.heat.stack import Arrival, StackPlace, StackRun, cool_stack
from flatstock.pressing.bands import SAMPLES, Draws, band_of, draw, relative
from flatstock.pressing.cooling import drawn_ends, outer_inputs
from flatstock.pressing.pile_up import Coming, Place
from flatstock.pressing.polymers import BAND_FIELDS, kinds_of, polymer_of, rows
from flatstock.pressing.rig import PLATE_CELLS, stack_place
from flatstock.workshop.shop import Rack

__all__ = ["REMELTS", "Stacking"]

Array = NDArray[np.float64]
LOOK_AHEAD = 48 * 3600.0  #: s after the later of the last arrival and the asked moment
#: rise of the mean melted fraction from which a sheet counts as re-melted; docs/heat.md, "Cooling"
REMELTS = 0.01
TOLERANCE = 0.02
COARSE_CELLS, COARSE_TOLERANCE = 6, 0.5
MODEL = "heat model, docs/heat.md"


@dataclass(frozen=True, eq=False, kw_only=True)
class Stacking:
    """Moulds that pile up in one place. Times in seconds after the first arrival of the question."""

    place: Place
    room: float
    fans: bool
    coming: tuple[Coming, ...]
    asked: float

    @property
    def end(self) -> float:
        """How far ahead the stack is looked at."""
        return max(self.asked, self.coming[-1].time) + LOOK_AHEAD

    @cached_property
    def _where(self) -> StackPlace:
        return stack_place(self.place, self.coming[0].mould_set, room=self.room, fans=self.fans)

    @cached_property
    def run(self) -> StackRun:
        """The typical stack."""
        return cool_stack(
            self._where,
            [Arrival(one.mould, one.time) for one in self.coming],
            end=self.end,
            tolerance=TOLERANCE,
            profiles=True,
        )

    @cached_property
    def draws(self) -> Draws:
        """The inputs that have bands: outer faces first, then joints, then each plastic's."""
        found: dict[str, Value] = dict(outer_inputs(self.place, self.fans))
        found |= {"edge film": self.place.edge_film}
        if not isinstance(self.place, Rack):
            found |= {"mould contact": self.place.contact, "sheet contact": self.place.sheet_contact}
        for one in self.coming:
            for plastic, own in kinds_of(one.thermal, one.plastic):
                found |= {f"{plastic}: {name}": getattr(own, name) for name in BAND_FIELDS}
        return draw(found)

    def _march(self, drawn: dict[str, Array], count: int) -> Stacks:
        lower, upper = self._where.plates
        layout = lay_out(
            self._where.pile([one.on_grid(COARSE_CELLS).mould for one in self.coming], lower, upper)
        )
        low, high = (PLATE_CELLS if plate is not None else 0 for plate in (lower, upper))
        per = COARSE_CELLS + 2
        joints = np.repeat(layout.joints[None], count, axis=0)
        n = len(layout.kind)
        for place in range(n - 1):
            inside = (place - low) % per
            if low - 1 <= place <= n - high - 1 and layout.kind[place] < 0 and layout.kind[place + 1] < 0:
                name = "mould contact"
            elif low <= place < n - high - 1 and inside in (0, per - 2):
                name = "sheet contact"
            else:
                continue
            if name in drawn and joints[0, r.KIND, place] == r.CONTACT:
                # skins on skins and skins on plates scale together
                typical = self.draws.inputs[name].value
                factor = drawn[name] / typical
                for row in (r.OPEN, r.OPEN_WET, r.CLOSED, r.CLOSED_WET):
                    joints[:, row, place] = layout.joints[row, place] * factor
        polymers = [
            rows(one.thermal, drawn, count, plastic=one.plastic)[:, 0] for one in _distinct(self.coming)
        ]
        widest = max(own.shape[1] for own in polymers)
        polymers = [np.pad(own, ((0, 0), (0, widest - own.shape[1]))) for own in polymers]
        return stacks(
            layout,
            Varied(
                polymers=np.stack(polymers, axis=1),
                joints=joints,
                ends=drawn_ends(layout.ends, drawn, count),
                heaters=np.zeros((count, 2, 8)),
                edge=relative(drawn["edge film"], self.place.edge_film),
            ),
            plate_cells=(low, high),
            cells_per_mould=per,
            arrivals=np.array([one.time for one in self.coming]),
            end=self.end,
            levels=np.array([one.limit for one in self.coming]),
            asked=self.asked,
            room=self.room,
            tolerance=COARSE_TOLERANCE,
        )

    @cached_property
    def _many(self) -> Stacks:
        return self._march(dict(self.draws.columns), SAMPLES)

    @cached_property
    def _one(self) -> Stacks:
        """The same coarse computation with the typical inputs."""
        return self._march({name: np.full(1, value.value) for name, value in self.draws.inputs.items()}, 1)

    def _band(self, value: float, samples: Array, centre: float, unit: str) -> Value:
        known = centre if np.isfinite(centre) else None
        return band_of(value, samples, unit=unit, source=MODEL, centre=known, by_difference=True)

    def hottest_at(self, mould: int) -> Value:
        """Hottest point of a sheet at the asked moment [°C]."""
        found = self.run.hottest_at(mould, self.asked)
        return self._band(found, self._many.hottest[:, mould], float(self._one.hottest[0, mould]), "°C")

    @property
    def typical_hottest(self) -> float:
        """Of all sheets at the asked moment, without a band [°C]."""
        return max(self.run.hottest_at(i, self.asked) for i in range(len(self.coming)))

    @property
    def typical_ready(self) -> float:
        """When the last of them may be opened, without a band [s]; inf: not within the time looked at."""
        each = [self.run.below(i, one.limit) for i, one in enumerate(self.coming)]
        return max(inf if time is None else time for time in each)

    @cached_property
    def hottest(self) -> Value:
        """Of all sheets at the asked moment [°C]."""
        samples = np.nanmax(self._many.hottest, axis=1)
        return self._band(self.typical_hottest, samples, float(np.nanmax(self._one.hottest)), "°C")

    def open_after(self, mould: int) -> Value | None:
        """The last instant above the mould's own limit [s]; None: not within the time looked at."""
        found = self.run.below(mould, self.coming[mould].limit)
        if found is None:
            return None
        return self._band(
            found, self._late(self._many)[:, mould], float(self._late(self._one)[0, mould]), "s"
        )

    def _late(self, stacks: Stacks) -> Array:
        return np.where(np.isnan(stacks.open_after), self.end, stacks.open_after)

    @cached_property
    def ready(self) -> Value | None:
        """The latest of all sheets [s]."""
        if self.typical_ready == inf:
            return None
        many, one = np.max(self._late(self._many), axis=1), np.max(self._late(self._one), axis=1)
        return self._band(self.typical_ready, many, float(one[0]), "s")

    def peak(self, mould: int) -> Value:
        """Hottest point after arrival [°C]; the core it arrives with, unless a later mould heats it beyond."""
        found, arriving = self.run.peak(mould), float(self.run.hottest[mould][0])
        if found - arriving < 0.5:
            return Value(found, found, found, "computed", MODEL, "°C")
        return self._band(found, self._many.peak[:, mould], float(self._one.peak[0, mould]), "°C")

    def remelts(self, mould: int) -> bool:
        """Whether the molten fraction rises by more than 0.01, at the bad end of the band."""
        many = float(np.percentile(self._many.remelted[:, mould], 95))
        return max(self.run.remelted(mould), many) > REMELTS

    @property
    def any_remelts(self) -> bool:
        """Whether any of them does; a mould by itself has no neighbour to heat it."""
        return len(self.coming) > 1 and any(self.remelts(i) for i in range(len(self.coming)))


def _distinct(coming: Sequence[Coming]) -> list[Coming]:
    """One mould of each plastic, in the order in which the layout meets them."""
    found: dict[object, Coming] = {}
    for one in coming:
        found.setdefault(polymer_of(one.thermal), one)
    return list(found.values())
