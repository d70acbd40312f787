"""Moulds that cool on top of each other, arriving one by one. New moulds go on top, under the top plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.layers import Joint, Layer, Outside
from flatstock.heat.pile import TOLERANCE, Energy, Outcome, Pile, run
from flatstock.heat.press import Mould
from flatstock.heat.readings import at, last_above, rise_above_own_minimum

__all__ = ["Arrival", "StackPlace", "StackRun", "cool_stack"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Arrival:
    """A mould and the instant at which it is laid on top [s]."""

    mould: Mould
    time: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class StackPlace:
    """Where a stack stands: plates if any, outer faces, joints."""

    plates: tuple[Layer | None, Layer | None] = (None, None)
    outer: tuple[Outside, Outside]
    plate_skin: Joint
    skin_skin: Joint
    skin_sheet: Joint
    room: float
    edge_film: float
    rim_film: float = 0.0
    perimeter_per_area: float

    def pile(self, moulds: Sequence[Mould], lower: Layer | None, upper: Layer | None) -> Pile:
        """The column of `moulds` between the plates as they are now."""
        layers: list[Layer] = [] if lower is None else [lower]
        joints: list[Joint] = []
        for index, mould in enumerate(moulds):
            if layers:
                joints.append(self.plate_skin if index == 0 else self.skin_skin)
            layers += mould.layers
            joints += [self.skin_sheet, self.skin_sheet]
        if upper is not None:
            if layers:
                joints.append(self.plate_skin)
            layers.append(upper)
        return Pile(
            tuple(layers),
            tuple(joints),
            self.outer[0],
            self.outer[1],
            room=self.room,
            edge_film=self.edge_film,
            perimeter_per_area=self.perimeter_per_area,
            rim_film=self.rim_film,
        )


@dataclass(frozen=True, slots=True, eq=False)
class StackRun:
    """Histories of every mould from its arrival; times [s] on the clock of the arrivals."""

    time: tuple[Array, ...]
    hottest: tuple[Array, ...]
    hottest_rate: tuple[Array, ...]
    melted: tuple[Array, ...]
    energy: Energy
    stages: tuple[tuple[float, Outcome], ...]  #: start of each stage and its run
    moulds: tuple[Mould, ...]  #: as they are at the end

    def hottest_at(self, mould: int, when: float) -> float:
        """Hottest point of one sheet at an instant [°C]."""
        return float(at(when, self.time[mould], self.hottest[mould], self.hottest_rate[mould]))

    def peak(self, mould: int) -> float:
        """Hottest point after arrival [°C]."""
        return float(np.max(self.hottest[mould]))

    def reheat(self, mould: int) -> float:
        """Largest rise of the hottest point above its own earlier minimum [K]."""
        return rise_above_own_minimum(self.hottest[mould])

    def remelted(self, mould: int) -> float:
        """Largest rise of the sheet's mean molten fraction above its own earlier minimum."""
        return rise_above_own_minimum(self.melted[mould])

    def below(self, mould: int, level: float) -> float | None:
        """The last instant above `level`; None while still above at the end."""
        return last_above(level, self.time[mould], self.hottest[mould], self.hottest_rate[mould])


def cool_stack(
    place: StackPlace,
    arrivals: Sequence[Arrival],
    *,
    end: float,
    tolerance: float = TOLERANCE,
    profiles: bool = False,
) -> StackRun:
    """Let a stack grow and cool until `end` [s]; equal times: in the order given, the first lowest."""
    order = sorted(range(len(arrivals)), key=lambda i: arrivals[i].time)
    lower, upper = place.plates
    moulds: list[Mould] = []
    parts: list[list[tuple[float, Outcome, int]]] = [[] for _ in arrivals]
    stages: list[tuple[float, Outcome]] = []
    energy: Energy | None = None
    for position, index in enumerate(order):
        start = arrivals[index].time
        stop = arrivals[order[position + 1]].time if position + 1 < len(order) else end
        moulds.append(arrivals[index].mould)
        outcome = run(
            place.pile(moulds, lower, upper),
            duration=max(0.0, stop - start),
            tolerance=tolerance,
            profiles=profiles,
        )
        layers = list(outcome.pile.layers)
        lower = layers.pop(0) if lower is not None else None
        upper = layers.pop() if upper is not None else None
        moulds = [Mould(*layers[3 * i : 3 * i + 3]) for i in range(len(moulds))]
        energy = outcome.energy if energy is None else energy + outcome.energy
        stages.append((start, outcome))
        for level in range(len(moulds)):
            parts[order[level]].append((start, outcome, level))
    if energy is None:
        raise ValueError("A stack needs a mould.")
    back = sorted(range(len(order)), key=order.__getitem__)

    def joined(index: int, name: str) -> Array:
        pieces = [getattr(outcome.history, name)[:, level] for _, outcome, level in parts[index]]
        return np.concatenate(pieces)

    return StackRun(
        time=tuple(
            np.concatenate([start + outcome.history.time for start, outcome, _ in part]) for part in parts
        ),
        hottest=tuple(joined(i, "hottest") for i in range(len(arrivals))),
        hottest_rate=tuple(joined(i, "hottest_rate") for i in range(len(arrivals))),
        melted=tuple(joined(i, "melted") for i in range(len(arrivals))),
        energy=energy,
        stages=tuple(stages),
        moulds=tuple(moulds[i] for i in back),
    )
