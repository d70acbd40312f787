"""The hot press for one charge: melt-through with its band, how long it may stay, dip, heat on the way."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np
from numpy.typing import NDArray

from flatstock.documents import Document, number
from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.heat import layers as h
from flatstock.heat.batch import Cycles
from flatstock.heat.pile import Outcome, Until
from flatstock.heat.press import HotPress, Mould
from flatstock.heat.readings import Dip, at, dip_and_recovery
from flatstock.plastics.model import Plastic, Process
from flatstock.pressing.bands import HIGH, Draws, band_of, contributions
from flatstock.pressing.hot_columns import COARSE_CELLS, COARSE_PLATEN_CELLS, FACE_CLOCK, HotColumns, spent_by
from flatstock.pressing.never_melts import why_never, why_unsure
from flatstock.pressing.polymers import Material, polymer_of
from flatstock.pressing.questions import LONGEST_DWELL as LONGEST
from flatstock.pressing.rig import MouldSet, hot_press
from flatstock.workshop.shop import HotPress as ShopHotPress

__all__ = ["Heating", "dwell_number", "heat"]

Array = NDArray[np.float64]
FINE_CELLS, FINE_TOLERANCE = 48, 0.1
#: where the coldest point lies at a face, or comes slowly to its target
SLOW_CELLS, SLOW_TOLERANCE = 192, 0.005
SLOW = 30.0  #: K that the coldest point would rise in the whole dwell, as fast as it does at its target
MODEL = "heat model, docs/heat.md"


@dataclass(frozen=True, eq=False, kw_only=True)
class Heating:
    """One charge in one hot press, computed when asked for. Seconds from loading, °C, J."""

    plastic: Plastic
    thermal: Material
    process: Process
    shop_press: ShopHotPress
    mould: MouldSet
    room: float
    set_point: float
    target: float
    thickness: float  #: of the cold sheet, as it is named [m]
    mass: float  #: of plastic per area [kg/m2]
    moisture: float
    quick: bool = False  #: bands from a surface fitted to fewer columns

    def loaded(self, cells: int, platen_cells: int) -> tuple[HotPress, Mould]:
        """Press and mould as the mould is laid down, with so many cells in the charge and in each platen."""
        press = hot_press(
            self.shop_press, self.mould, room=self.room, set_point=self.set_point, platen_cells=platen_cells
        )
        charge = h.charge(
            polymer_of(self.thermal),
            mass=self.mass,
            temperature=self.room,
            cells=cells,
            moisture=self.moisture,
        )
        return press, self.mould.around(charge, self.room)

    @cached_property
    def _to_melt(self) -> tuple[HotPress, Mould, Outcome]:
        found = self._melted(FINE_CELLS, FINE_TOLERANCE)
        if found[2].reached and self._slow(found[2]):
            found = self._melted(SLOW_CELLS, SLOW_TOLERANCE)
        after, hot, outcome = found
        if not outcome.reached:
            raise Refused(why_never(self, after, hot, after=LONGEST))
        return after, hot, outcome

    def _melted(self, cells: int, tolerance: float) -> tuple[HotPress, Mould, Outcome]:
        press, mould = self.loaded(cells, 8)
        return press.hold(
            mould,
            duration=LONGEST,
            until=Until(kind="coldest_above", level=self.target),
            activation=self.activation,
            tolerance=tolerance,
            profiles=True,
        )

    def _slow(self, outcome: Outcome) -> bool:
        """Whether a small error in temperature is a large one in time, or the coldest point lies at a face."""
        rate = float(outcome.history.coldest_rate[-1, 0])
        return min(self._powers) <= 0 or rate * outcome.time < SLOW

    @property
    def activation(self) -> float:
        """Energy of the face's clock [J/mol]; 0: none is kept."""
        return self.process.face_activation.value if self.process.face_activation else 0.0

    @property
    def face_levels(self) -> tuple[float, float]:
        """What the face bears [s at 200 °C] and where it ends [°C]; inf: no such end."""
        allowance, limit = self.process.face_allowance, self.process.face_limit
        return (inf if allowance is None else allowance.value, inf if limit is None else limit.value)

    @property
    def melt_history(self) -> Outcome:
        """The run from loading to melt-through, with profiles."""
        return self._to_melt[2]

    @cached_property
    def dips(self) -> tuple[Dip, Dip]:
        """Of the bottom and the top platen, within the time to melt-through."""
        history = self.melt_history.history
        bottom, top = (
            dip_and_recovery(self.set_point, history.time, history.sensor[:, i], history.sensor_rate[:, i])
            for i in range(2)
        )
        return bottom, top

    def until(self, time: float) -> tuple[HotPress, Mould, Outcome | None]:
        """Press, mould and the run beyond melt-through, at `time`."""
        press, mould, outcome = self._to_melt
        rest = time - outcome.time
        if rest <= 0:
            return press, mould, None
        return press.hold(
            mould,
            duration=rest,
            loaded=False,
            activation=self.activation,
            dose=outcome.dose,
            tolerance=FINE_TOLERANCE,
            profiles=True,
        )

    @cached_property
    def latest(self) -> float | None:
        """When the hotter face has had its allowance, or passes its limit; None: not within four hours."""
        allowance, limit = self.face_levels
        if allowance == inf and limit == inf:
            return None
        press, mould, outcome = self._to_melt
        _, _, beyond = press.hold(
            mould,
            duration=LONGEST - outcome.time,
            until=Until(kind="face_spent", level=min(allowance, 1e9), limit=limit),
            loaded=False,
            activation=self.activation,
            dose=outcome.dose,
            tolerance=0.2,
        )
        if not beyond.reached:
            return None
        return outcome.time + beyond.time if beyond.time > 0 else self._spent_before_melting

    @property
    def _spent_before_melting(self) -> float:
        """When the face has had its allowance, where that is before the core has melted through [s]."""
        allowance, limit = self.face_levels
        press, mould = self.loaded(FINE_CELLS, 8)
        _, _, outcome = press.hold(
            mould,
            duration=LONGEST,
            until=Until(kind="face_spent", level=min(allowance, 1e9), limit=limit),
            activation=self.activation,
            tolerance=0.2,
        )
        return outcome.time

    @cached_property
    def _columns(self) -> HotColumns:
        """The same pressing over the ranges of its inputs."""
        return HotColumns(
            thermal=self.thermal,
            process=self.process,
            shop_press=self.shop_press,
            mould=self.mould,
            room=self.room,
            target=self.target,
            face_levels=self.face_levels,
            longest=LONGEST,
        )

    @property
    def draws(self) -> Draws:
        """The inputs that have bands: of the plastic, of the press."""
        return self._columns.draws

    @property
    def heat_inputs(self) -> dict[str, Value]:
        """The inputs that melting through depends on: all but the face's clock."""
        return {name: value for name, value in self.draws.inputs.items() if name != FACE_CLOCK}

    @cached_property
    def grid(self) -> Array:
        """Instants at which the band's columns report their heat [s]."""
        return np.linspace(0.0, 3.0 * self.melt_history.time, 97)

    @cached_property
    def _cycles(self) -> tuple[Cycles, Cycles]:
        """The band's columns, and one coarse column with the typical inputs."""
        press, mould = self.loaded(COARSE_CELLS, COARSE_PLATEN_CELLS)
        found = self._columns.fitted if self.quick else self._columns.marched
        return found(press, mould, self.grid)

    @cached_property
    def dwell(self) -> Value:
        """Melt-through [s]; a column that has not melted after four hours counts as four hours."""
        many, one = self._cycles
        centre = float(one.melt[0])
        samples = np.where(np.isfinite(many.melt), many.melt, LONGEST)
        return band_of(
            self.melt_history.time,
            samples,
            unit="s",
            source=MODEL,
            centre=centre if np.isfinite(centre) else None,
        )

    @property
    def never_melts(self) -> float:
        """Share of the band's columns that have not melted through after four hours."""
        return float(np.mean(~np.isfinite(self._cycles[0].melt)))

    @property
    def late_end_unknown(self) -> bool:
        """Whether so many columns never melt that the upper end of the band is only as long as is looked at."""
        return self.never_melts > 1.0 - HIGH / 100.0

    @property
    def unsure(self) -> list[Fault]:
        """A fault where the late end of melting through is not known; else nothing."""
        return [why_unsure(self, share=self.never_melts, after=LONGEST)] if self.late_end_unknown else []

    @cached_property
    def dwell_shares(self) -> dict[str, float]:
        """Which inputs the dwell's band comes from, largest first."""
        shares = contributions(self.draws, self._cycles[0].melt)
        return {name: share for name, share in shares.items() if name != FACE_CLOCK}

    @cached_property
    def latest_shares(self) -> dict[str, float]:
        """Which inputs the band of the latest dwell comes from, largest first."""
        return {} if self.latest is None else contributions(self.draws, self._cycles[0].latest)

    @cached_property
    def dwell_latest(self) -> Value | None:
        """The longest dwell that the face allows [s]."""
        if self.latest is None:
            return None
        many, one = self._cycles
        centre = float(one.latest[0])
        # a column that is still allowed after four hours counts as four hours
        late = np.where(np.isfinite(many.latest), many.latest, LONGEST)
        return band_of(
            self.latest, late, unit="s", source=MODEL, centre=centre if np.isfinite(centre) else None
        )

    @cached_property
    def dip(self) -> Value:
        """How far the deeper platen falls below its set-point [K]."""
        many, one = self._cycles
        depth = self.set_point - np.min(self._heated(many.lowest), axis=1)
        centre = float(self.set_point - np.min(self._heated(one.lowest)))
        deepest = max(dip.depth for dip in self._heated_dips)
        return band_of(deepest, depth, unit="K", source=MODEL, centre=centre)

    def _heated(self, pairs: Array) -> Array:
        sides = [i for i, power in enumerate(self._powers) if power > 0]
        return pairs[:, sides]

    @property
    def _powers(self) -> tuple[float, float]:
        return self.shop_press.power_bottom.value, self.shop_press.power_top.value

    @property
    def _heated_dips(self) -> list[Dip]:
        return [dip for dip, power in zip(self.dips, self._powers, strict=True) if power > 0]

    def energy_shares(self, dwell: float) -> dict[str, float]:
        """Which inputs the band of the energy comes from, largest first."""
        return contributions(self.draws, spent_by(dwell, self.grid, self._cycles[0]))

    @cached_property
    def dip_shares(self) -> dict[str, float]:
        """Which inputs the band of the dip comes from, largest first."""
        return contributions(self.draws, -np.min(self._heated(self._cycles[0].lowest), axis=1))

    def energy(self, dwell: float) -> Value:
        """Heat from the heaters from loading to `dwell`, and what brings the platens back to their start [J]."""
        outcome = self.melt_history
        after, _, beyond = self.until(dwell)
        history = outcome.history
        drawn = history.energy[:, 0] + history.energy[:, 1]
        power = history.power[:, 0] + history.power[:, 1]
        if beyond is None:
            used = float(at(dwell, history.time, drawn, power))
        else:
            used = float(drawn[-1]) + beyond.energy.heaters
        before, _ = self.loaded(COARSE_CELLS, 8)
        short = sum(
            max(0.0, a.stored - b.stored)
            for a, b in ((before.lower, after.lower), (before.upper, after.upper))
        )
        many, one = self._cycles
        centre = float(spent_by(dwell, self.grid, one)[0])
        whole = (used + short) * self.mould.area
        return band_of(whole, spent_by(dwell, self.grid, many), unit="J", source=MODEL, centre=centre)


def dwell_number(heating: Heating) -> Document | None:
    """Melting through as documents have it [min]: null for a late end that nobody knows."""
    found = number(heating.dwell, 1 / 60)
    return {**found, "high": None} if found is not None and heating.late_end_unknown else found


def heat(
    plastic: Plastic,
    *,
    thermal: Material | None = None,
    process: Process | None = None,
    press: ShopHotPress,
    mould: MouldSet,
    room: float,
    set_point: float,
    thickness: float,
    mass: float,
    moisture: float,
    target: float | None = None,
    quick: bool = False,
) -> Heating:
    """A charge of `mass` [kg/m2] in the hot press. Raises `Refused` where the question has no answer.

    `thermal` and `process`: of all plastics of the charge; None: of `plastic` alone.
    """
    thermal = plastic.thermal if thermal is None else thermal
    process = plastic.process if process is None else process
    if thermal is None or process is None or process.melt_target is None:
        raise Refused(Fault(where=plastic.id, what="its thermal data are not complete", instead="add them"))
    goal = process.melt_target.value if target is None else target
    if goal < thermal.melting_end.value:
        raise Refused(
            Fault(
                where=f"{plastic.id}, melt_target_C",
                what=f"a core target of {goal:.0f} °C lies below the end of melting,"
                f" {thermal.melting_end.value:.0f} °C",
                instead="set a target above the melting range",
            )
        )
    if goal >= set_point - 2.0:
        raise Refused(
            Fault(
                where="--set-point",
                what=f"with platens at {set_point:.0f} °C the core never reaches {goal:.0f} °C, which means melted"
                f" through: it would end near {set_point:.0f} °C at best",
                instead=f"use at least {goal + 3:.0f} °C",
            )
        )
    return Heating(
        plastic=plastic,
        thermal=thermal,
        process=process,
        shop_press=press,
        mould=mould,
        room=room,
        set_point=set_point,
        target=goal,
        thickness=thickness,
        mass=mass,
        moisture=moisture,
        quick=quick,
    )
