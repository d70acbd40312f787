"""How a mould fares where it stands, as the clocks of the physics tell it.

`Clocks` is what the floor asks; `actions.floor` answers with the heat model, `PlanClocks` with nothing but the
plan's durations.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from flatstock.running.danger import Heat
from flatstock.running.sheets import Planned
from flatstock.running.stays import Stay
from flatstock.running.supply_cuts import Calm

__all__ = ["Clocks", "Course", "Finish", "Gate", "PlanClocks", "Warming"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """What a step waits for. `not_before` is the late end of its band; the middle is shown beside it."""

    not_before: datetime | None  #: None: not within the time looked at
    middle: datetime | None = None
    limit: float | None = None  #: of the core [°C]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """What is done at the end of a dwell; until then the mould is under contact pressure alone, or it flashes out."""

    before: timedelta  #: it is transferred: how long breathing and full pressure take together
    words: str  #: "breathe twice, then full pressure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """One mould in one place.

    The core is the coldest point in a hot press and the hottest elsewhere, shown as it is at the unsafe end of its
    band: it passes a gate's limit at `not_before`, never earlier.
    """

    gates: Mapping[
        str, Gate
    ]  #: kind of event to what it waits for: "transferred", or "moved" and "demoulded"
    latest: datetime | None = None  #: in a hot press: the early end of what the face bears
    finish: Finish | None = None  #: in a hot press; None: not known
    #: "transferred" waits for the whole dwell, finish and all, not for melt-through alone
    whole: bool = False
    core: tuple[tuple[datetime, float], ...] = ()  #: instants and °C, in order; empty: not known
    basis: str = "the plan"
    awaited: bool = False  #: a better answer is being worked out
    notes: tuple[str, ...] = ()  #: what is out of the usual: a cut, a measured platen

    def finish_from(self, due: datetime) -> datetime | None:
        """When breathing and full pressure begin in a dwell that ends at `due`; None: not known."""
        gate = self.gates.get("transferred")
        if self.finish is None or gate is None or gate.not_before is None:
            return None
        begins = due - self.finish.before
        return begins if self.whole else max(gate.not_before, begins)

    def core_at(self, now: datetime) -> float | None:
        """Between its two nearest instants; the ends hold outside. None: not known."""
        if not self.core:
            return None
        i = bisect_right(self.core, now, key=lambda point: point[0])
        if i == 0 or i == len(self.core):
            return self.core[max(0, i - 1)][1]
        (before, a), (after, b) = self.core[i - 1 : i + 1]
        return a + (b - a) * ((now - before) / (after - before))


@dataclass(frozen=True, slots=True, kw_only=True)
class Warming:
    """Platens on their way to a set-point; what a mould takes of their heat is not in it."""

    on: bool = True  #: the heaters; where they are off nothing says when it is ready
    set_point: float  #: [°C]
    platens: float  #: as reckoned now [°C]
    reaches: datetime | None  #: about when they are at it; None: never, the heaters are too weak
    ready: datetime | None  #: and soaked: the first mould may go in
    measured: bool  #: reckoned on from a measured temperature, not from switching on alone


class Clocks(Protocol):
    """Courses of the moulds that stand somewhere now.

    `answers`: grows whenever `courses` may say something else though nothing was noted.
    """

    answers: int

    def courses(
        self,
        stays: Sequence[Stay],
        sheets: Mapping[str, Planned],
        heats: Mapping[str, Heat],
        *,
        now: datetime,
        calms: Sequence[Calm] = (),
    ) -> Mapping[str, Course]:
        """By sheet, for each of `stays` without an end; one it can't tell is left out.

        Parameters
        ----------
        stays
            All that is known, ended ones too, in order of `since`: presses and stacks keep their heat.
        sheets
            What each is.
        heats
            Each hot press's heaters, with the spans without heat and what was measured last.
        calms
            In which no fan counts as blowing on what stands in a cooling press.
        """
        ...

    def warming(
        self, stays: Sequence[Stay], heats: Mapping[str, Heat], *, now: datetime
    ) -> Mapping[str, Warming]:
        """By press, how its heaters fare that are on and have had no mould since they were switched on or set anew."""
        ...


class PlanClocks:
    """Without a heat model: the plan's least and latest times, counted from when the mould came."""

    answers = 0

    def courses(
        self,
        stays: Sequence[Stay],
        sheets: Mapping[str, Planned],
        heats: Mapping[str, Heat],
        *,
        now: datetime,  # noqa: ARG002  # as `Clocks` has it: the plan's times don't depend on it
        calms: Sequence[Calm] = (),
    ) -> Mapping[str, Course]:
        """See `Clocks`. A dwell or a cooling press with a cut in it has no answer here: only a model knows."""
        found = {}
        for stay in stays:
            sheet = sheets.get(stay.sheet)
            if stay.until is not None or sheet is None:
                continue
            if stay.hot:
                heat = heats.get(stay.place)
                cut = heat is not None and any(end is None or end > stay.since for _, end in heat.cuts)
                if not cut:
                    gate = Gate(not_before=_after(stay.since, sheet.dwell))
                    latest = _after(stay.since_early, sheet.dwell_latest)
                    found[stay.sheet] = Course(gates={"transferred": gate}, latest=latest)
            else:
                found[stay.sheet] = Course(
                    gates=_cooling(stay, sheet, cut=any(one.since > stay.since for one in calms))
                )
        return found

    def warming(
        self,
        stays: Sequence[Stay],  # noqa: ARG002  # as `Clocks` has them all; no plan says how warm a press is
        heats: Mapping[str, Heat],  # noqa: ARG002
        *,
        now: datetime,  # noqa: ARG002
    ) -> Mapping[str, Warming]:
        """Nothing: only a model knows."""
        return {}


def _cooling(stay: Stay, sheet: Planned, *, cut: bool) -> dict[str, Gate]:
    """The planned time under pressure, and the planned demoulding as much later as the mould came later."""
    gates = {}
    under, out = sheet.tasks.get("press_cool"), sheet.tasks.get("demould")
    here = next(
        (task for task in sheet.tasks.values() if stay.place in task.places and task.step in _STAYS), None
    )
    if under is not None and stay.place in under.places:
        gates["moved"] = Gate(not_before=None if cut else _after(stay.since, sheet.press_cool))
    if out is not None and here is not None:
        late = max(timedelta(0), stay.since - here.start)
        unknown = cut and here.step == "press_cool"
        gates["demoulded"] = Gate(not_before=None if unknown else out.start + late)
    return gates


_STAYS = ("press_cool", "stack", "rack")


def _after(since: datetime, seconds: float | None) -> datetime | None:
    return None if seconds is None else since + timedelta(seconds=seconds)
