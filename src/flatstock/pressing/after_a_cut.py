"""What dwell a mould needs whose press was not as its card reckons: its heat failed on the way, its platens were still
heating up or were measured colder, or its heaters are set to something else.

The rule, our own: the core is to have been as far above its target for as long (kelvins times seconds, "fusing")
as it would have been at the end of the dwell without a cut. So a short cut costs less than its length, since warm
platens go on giving heat; a long one costs more, since they have to be heated again; and none costs nothing. Less
heat at any time leaves the core colder from then on (the heat equation's comparison principle), so a longer cut
never leaves a shorter dwell.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.heat.layers import Controller
from flatstock.heat.pile import Until
from flatstock.heat.press import HotPress, Mould
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.heating import Heating

__all__ = ["CutDwell", "dwell_with_cuts"]

Array = NDArray[np.float64]
CELLS, PLATEN_CELLS, TOLERANCE = 20, 6, 0.05
_Heaters = tuple[Controller | None, Controller | None]
LONGEST = 8 * 3600.0  #: s that a mould in a press is looked at
STEP = 600.0  #: s of heating at a time, once heat is back


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CutDwell:
    """One charge in one hot press, cuts and all. Seconds from when it was laid down."""

    planned: float  #: the dwell without a cut
    middle: float | None  #: it has fused as it would have; None: not while the heat is off, or too long
    not_before: float | None  #: the late end of that
    latest: (
        float | None
    )  #: the early end of what the face bears; None: no limit, or not within the time looked at
    time: Array
    core: Array  #: coldest point [°C], at `time`

    def left(self, now: float) -> float | None:
        """Of the dwell [s], at `now`; 0: it may be opened."""
        return None if self.not_before is None else max(0.0, self.not_before - now)


def dwell_with_cuts(
    card: Card,
    *,
    cuts: Sequence[tuple[float, float | None]],
    reads: Mapping[float, float] | None = None,
    dwell: float | None = None,
    platens: float | None = None,
    points: Mapping[float, float] | None = None,
) -> CutDwell:
    """The dwell of a card's sheet in the heat that its press had in fact.

    Parameters
    ----------
    cuts
        Spans without heat [s], from when the mould was laid down, in order; an end of None: it is still off.
    reads
        Platens measured meanwhile, when [s] to temperature [°C]: both platens are taken to be so from then on.
    dwell
        Without a cut [s]; None: as the card advises.
    platens
        Both, where they are heated, as the mould was laid down [°C]; None: at the card's set-point, soaked.
    points
        What the heaters were set to, when [s] to temperature [°C], where it is not the card's set-point.

    Raises
    ------
    OutOfRange
        Cuts that overlap or run backwards, a platen that cannot be so hot or cold.
    """
    planned = card.advised[0] if dwell is None else dwell
    measured = dict(reads or {})
    set_to = dict(points or {})
    _check(cuts, measured)
    heating = card.heating
    goal = _fused(*_core_until(heating, planned), heating.target)
    run = _Run.of(heating, cuts, measured, goal=goal, platens=platens, points=set_to)
    off = bool(cuts) and cuts[-1][1] is None
    whole = [cut for cut in cuts if cut[1] is None or cut[1] > cut[0]]
    touched = platens is not None or min([*(a for a, _ in whole), *measured, *set_to], default=inf) < planned
    if not touched:
        middle: float | None = planned
    else:
        # less heat never makes it sooner; what the solver's tolerance or a warmer reading would take off is not given
        middle = None if off or run.reached is None else max(planned, run.reached)
    late = heating.dwell.high / heating.dwell.value
    return CutDwell(
        planned=planned,
        middle=middle,
        not_before=None if middle is None else planned + (middle - planned) * late,
        latest=None if off else _latest(heating, run, bool(measured or set_to)),
        time=run.time,
        core=run.core,
    )


def _check(cuts: Sequence[tuple[float, float | None]], reads: Mapping[float, float]) -> None:
    edge = 0.0
    for start, end in cuts:
        if start < edge or (end is not None and end < start):
            raise OutOfRange(
                "Cuts follow each other and end after they begin, from when the mould was laid down."
            )
        edge = inf if end is None else end
    for when, temperature in reads.items():
        if when < 0 or not -20.0 <= temperature <= 300.0:
            raise OutOfRange(f"Platens at {temperature:g} °C after {when:g} s: read them again.")


def _core_until(heating: Heating, dwell: float) -> tuple[Array, Array]:
    """The coldest point until the end of a dwell without a cut [s, °C]."""
    press, mould = heating.loaded(CELLS, PLATEN_CELLS)
    _, _, outcome = press.hold(mould, duration=dwell, tolerance=TOLERANCE)
    return outcome.history.time, outcome.history.coldest[:, 0]


def _fused(time: Array, core: Array, target: float) -> float:
    """How far and how long the core was above its target [K s]."""
    return float(np.trapezoid(np.maximum(0.0, core - target), time))


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Run:
    time: Array
    core: Array
    reached: float | None  #: it has fused enough
    spent: float | None  #: the face has had its allowance

    @classmethod
    def of(
        cls,
        heating: Heating,
        cuts: Sequence[tuple[float, float | None]],
        reads: Mapping[float, float],
        *,
        goal: float,
        platens: float | None,
        points: Mapping[float, float],
    ) -> _Run:
        process = heating.process
        allowance = inf if process.face_allowance is None else process.face_allowance.value
        limit = inf if process.face_limit is None else process.face_limit.value
        activation = 0.0 if process.face_activation is None else process.face_activation.value
        press, mould = heating.loaded(CELLS, PLATEN_CELLS)
        if platens is not None:
            press = _measured(press, platens, heated_alone=True)
        wired, dose = press.heaters, 0.0
        known = sorted({0.0, *(e for cut in cuts for e in cut if e is not None), *reads, *points})
        edges = [*known, *np.arange(known[-1] + STEP, LONGEST, STEP).tolist()]
        times, cores = [np.zeros(1)], [np.full(1, heating.room)]
        fused, reached = 0.0, None
        spent: float | None = None
        for start, end in pairwise(edges):
            if start in reads:
                press = _measured(press, reads[start])
            if start in points:
                wired = _set_to(wired, points[start])
            on = not any(a <= start < (inf if b is None else b) for a, b in cuts)
            press = replace(press, heaters=wired if on else (None, None))
            press, mould, outcome = press.hold(
                mould,
                duration=end - start,
                loaded=start == 0.0,
                activation=activation,
                dose=dose,
                tolerance=TOLERANCE,
            )
            history = outcome.history
            gone = (history.dose > allowance) | (np.max(history.face, axis=1) > limit)
            if spent is None and gone.any():
                spent = start + float(history.time[int(np.argmax(gone))])
            seconds, core = history.time, history.coldest[:, 0]
            times.append(start + seconds[1:])
            cores.append(core[1:])
            dose = outcome.dose
            above = np.maximum(0.0, core - heating.target)
            grown = fused + np.concatenate(
                [[0.0], np.cumsum(0.5 * (above[1:] + above[:-1]) * np.diff(seconds))]
            )
            fused = float(grown[-1])
            there = (grown >= goal) & (grown > 0.0)
            if reached is None and there.any():
                reached = start + float(np.interp(max(goal, 1e-9), grown, seconds))
            if on and reached is not None and start >= known[-1]:
                if spent is None and (allowance < inf or limit < inf):
                    spent = _spent_beyond(press, mould, end, allowance, limit, activation, dose)
                break
        return cls(time=np.concatenate(times), core=np.concatenate(cores), reached=reached, spent=spent)


def _spent_beyond(
    press: HotPress,
    mould: Mould,
    since: float,
    allowance: float,
    limit: float,
    activation: float,
    dose: float,
) -> float | None:
    until = Until(kind="face_spent", level=min(allowance, 1e9), limit=limit)
    _, _, beyond = press.hold(
        mould, duration=LONGEST, until=until, loaded=False, activation=activation, dose=dose, tolerance=0.2
    )
    return since + beyond.time if beyond.reached else None


def _latest(heating: Heating, run: _Run, measured: bool) -> float | None:
    """The early end: as much sooner than the middle as without a cut; less heat never makes it sooner."""
    usual = heating.dwell_latest
    if run.spent is None or usual is None:
        return None
    early = run.spent * usual.low / usual.value
    return early if measured else max(early, usual.low)


def _measured(press: HotPress, temperature: float, *, heated_alone: bool = False) -> HotPress:
    """Both platens at what was measured, or those with heaters; the mould between them keeps what it has."""
    lower, upper = (
        replace(layer, temperature=np.full_like(layer.temperature, temperature))
        if heater is not None or not heated_alone
        else layer
        for layer, heater in zip((press.lower, press.upper), press.heaters, strict=True)
    )
    return replace(press, lower=lower, upper=upper)


def _set_to(heaters: _Heaters, temperature: float) -> _Heaters:
    lower, upper = (None if one is None else replace(one, set_point=temperature) for one in heaters)
    return lower, upper
