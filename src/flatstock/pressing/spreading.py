"""How long the melt takes to fill the frame from the heap that was laid, at contact and at full pressure.

Squeeze flow of a round or a rectangular heap under a constant force (docs/flow.md), counted from melting through:
what still holds solid flake flows by no such law.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.evidence import Value
from flatstock.flow.layered import effective_viscosity
from flatstock.flow.level import Filling
from flatstock.flow.mound import covered_share
from flatstock.flow.rectangle import rectangle_spreading_time
from flatstock.flow.squeeze import disc_spreading_time
from flatstock.pressing.bands import band_of, draw, shares_of
from flatstock.pressing.charging import Charge
from flatstock.pressing.heating import Heating

__all__ = ["HALF", "Spreading", "Verdict"]

Array = NDArray[np.float64]
FORMULA = "squeeze flow, docs/flow.md"
#: of the cavity: a heap tipped in its middle, to be told beside the one laid level
HALF = 0.5
#: of loose flake where nobody has said another [deg], assumed
REPOSE = Value(40.0, 30.0, 50.0, "assumed", "common practice, no source", "deg")
#: "contact": the melt is at the frame all round before full pressure; "full": by its end; "short": not sure to be
Verdict = Literal["contact", "full", "short"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Spreading:
    """The molten charge on its way to the frame. Seconds, N, Pa s, m."""

    charge: Charge
    heating: Heating
    viscosity_at_goal: Value | None  #: of the melt at the set-point; None: nothing on file
    contact: Value  #: pressure on the cavity [Pa]
    full: Value
    asked: float | None  #: share of the cavity that the heap covers; None: laid level

    @cached_property
    def viscosity(self) -> Value | None:
        """With which the charge flows as warm as it is when it has melted through: stiffest in its core."""
        goal = self.viscosity_at_goal
        law = self.charge.setting.plastic.viscosity
        if goal is None:
            return None
        if law is None:
            return goal
        pile = self.heating.melt_history.pile
        layer = pile.layers[2]
        try:
            stiff = [
                law.ratio(float(one), reference=self.charge.setting.set_point.value)
                for one in layer.temperature
            ]
        except OutOfRange:
            return None
        factor = effective_viscosity(heights=[float(one) for one in layer.capacity], viscosities=stiff)
        return goal.mapped(lambda eta: eta * factor, unit="Pa s", kind="computed")

    @property
    def repose(self) -> Value:
        """Angle at which the loose flake lies [deg]."""
        return self.charge.setting.plastic.values.get("angle_of_repose", REPOSE)

    @cached_property
    def covers(self) -> Value:
        """Share of the cavity that the heap covers, with upright sides."""
        if self.asked is not None:
            return Value.sure(self.asked, kind="assumed", source="asked for")
        if self.charge.heap_advice.filling is not Filling.FITS:
            return Value.sure(1.0, kind="computed", source="a collar holds it")
        return self.repose.mapped(self._covered, unit="", kind="computed")

    def _covered(self, repose: float) -> float:
        frame, charge = self.charge.setting.mould.frame, self.charge
        return covered_share(
            volume=charge.weighed / charge.setting.bulk_density.value,
            frame=frame.thickness,
            length=frame.cavity_length,
            width=frame.cavity_width,
            repose=repose,
        )

    @property
    def level(self) -> float:
        """The gap when the melt fills the frame: that of the whole charge."""
        return self.charge.level(self.charge.plastic_mass).value

    def force(self, pressure: Value) -> Value:
        """Closing force of a pressure on the whole cavity."""
        return pressure.mapped(lambda p: p * self.charge.setting.mould.area, unit="N", kind="computed")

    def time(self, pressure: Value, covers: Value) -> Value | None:
        """From melting through until the melt is at the frame all round."""
        if self.viscosity is None:
            return None
        inputs = self._inputs(pressure, covers)
        if covers.value >= 1.0:
            return Value.sure(0.0, kind="computed", source=FORMULA, unit="s")
        samples = self._times(draw(inputs).columns)
        typical = self._typical(self.viscosity.value, pressure.value, covers.value)
        return band_of(typical, samples, unit="s", source=FORMULA)

    def shares(self, pressure: Value, covers: Value) -> dict[str, float]:
        """Which inputs the band of `time` comes from, largest first."""
        if self.viscosity is None or covers.value >= 1.0:
            return {}
        return shares_of(self._inputs(pressure, covers), self._times)

    def _inputs(self, pressure: Value, covers: Value) -> dict[str, Value]:
        """Names as `why` lists them."""
        assert self.viscosity is not None
        return {
            "viscosity, through the thickness": self.viscosity,
            "pressure": pressure,
            "covered share": covers,
            "outline": self.outline,
        }

    @cached_property
    def outline(self) -> Value:
        """How much longer a heap takes than one that keeps its sides: as long as a round one at most, 1 at least."""
        typical = self._typical(1e4, 1e5, HALF)
        start = self.level / HALF
        area = self.charge.setting.mould.area
        round_one = disc_spreading_time(
            volume=self.level * area, start=start, end=self.level, force=1e5 * area, consistency=1e4
        )
        return Value(1.0, 1.0, max(1.0, round_one / typical), "assumed", FORMULA)

    def _times(self, columns: Mapping[str, Array]) -> Array:
        """By the law itself: as the viscosity, against the force, and by the fourth power of the covered share."""
        assert self.viscosity is not None
        covered = 1.0 - np.minimum(columns["covered share"], 1.0) ** 4
        drive = columns["viscosity, through the thickness"] / columns["pressure"]
        whole = self._typical(1.0, 1.0, HALF) / (1.0 - HALF**4)
        return whole * drive * covered * columns["outline"]

    def _typical(self, viscosity: float, pressure: float, covers: float) -> float:
        frame, area, level = self.charge.setting.mould.frame, self.charge.setting.mould.area, self.level
        return rectangle_spreading_time(
            volume=level * area,
            ratio=frame.cavity_length / frame.cavity_width,
            start=level / covers,
            end=level,
            force=pressure * area,
            viscosity=viscosity,
        )

    @cached_property
    def at_contact(self) -> Value | None:
        """Under contact pressure."""
        return self.time(self.contact, self.covers)

    @cached_property
    def at_full(self) -> Value | None:
        """Under full pressure."""
        return self.time(self.full, self.covers)

    def heaped(self, pressure: Value) -> Value | None:
        """The same for a heap in the middle of the cavity, over half of it."""
        return self.time(pressure, Value.sure(HALF, kind="assumed", source="docs/pressing.md"))

    @property
    def full_from(self) -> Value | None:
        """When full pressure may be put on: melted through, and at the frame all round, by the same end of both."""
        dwell, spread = self.heating.dwell, self.at_contact
        if spread is None:
            return None
        return Value(
            dwell.value + spread.value,
            dwell.low + spread.low,
            dwell.high + spread.high,
            "computed",
            FORMULA,
            "s",
        )

    def force_within(self, seconds: float) -> Value | None:
        """Closing force that brings the melt to the frame in so many seconds alone; None: without any time."""
        if self.at_full is None or seconds <= 0:
            return None
        force = self.force(self.full).value
        # what the force itself leaves open is asked for here, and so is no part of the band
        time = self.time(Value.sure(self.full.value, kind="computed", source=FORMULA), self.covers)
        assert time is not None
        return time.mapped(lambda t: force * t / seconds, unit="N")

    def verdict(self, *, contact_until: float, full_time: float) -> Verdict | None:
        """Whether the melt is there in time, by the late ends; contact pressure ends so long after laying down."""
        contact, full = self.at_contact, self.at_full
        if contact is None or full is None:
            return None
        waits = max(contact_until - self.heating.dwell.high, 0.0)
        if contact.high <= waits:
            return "contact"
        done = waits / contact.high + (full_time / full.high if full.high > 0 else 0.0)
        return "full" if done >= 1.0 else "short"
