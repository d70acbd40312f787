"""What heat a mould in a hot press has had in fact, where its card does not reckon with it; `press_dwell` has the dwell
that follows. Nothing of the heat model comes in with it: a plan from now on asks it first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from flatstock.actions.warming import platens_of
from flatstock.running.danger import Heat
from flatstock.running.stays import Stay
from flatstock.running.words import degrees
from flatstock.workshop.shop import Workshop

__all__ = ["COLDER", "HotHistory", "hot_history"]

#: K below the set-point up to which platens count as at it; our own figure, as thermostats swing
COLDER = 5.0
OFF = 1.0  #: K that heaters may be set beside a recipe; our own figure
LAID_IN = "laid in"
CUT = "cut a corner and look at the core"


@dataclass(frozen=True, slots=True, kw_only=True)
class HotHistory:
    """Seconds from when the mould was laid down, °C. Hashable, so that an answer is worked out once."""

    cuts: tuple[tuple[float, float | None], ...] = ()  #: spans without heat; None: it is still off
    reads: tuple[tuple[float, float], ...] = ()  #: platens measured
    points: tuple[tuple[float, float], ...] = ()  #: set-points that are not the recipe's
    platens: float | None = None  #: as it was laid down; None: at the recipe's set-point
    heading_for: float | None = None  #: the set-point that they were still below
    soaked: bool = True  #: the platens had stood at their set-point for long enough

    @property
    def usual(self) -> bool:
        """Whether it is what a card reckons with."""
        return self.platens is None and not (self.cuts or self.reads or self.points)

    def back(self, since: datetime, now: datetime) -> HotHistory:
        """The same with heat that is off now come back now; the mould was laid down at `since`."""
        if not self.cuts or self.cuts[-1][1] is not None:
            return self
        start = self.cuts[-1][0]
        return replace(self, cuts=(*self.cuts[:-1], (start, max(start, (now - since).total_seconds()))))

    @property
    def notes(self) -> tuple[str, ...]:
        """What is out of the usual, in words."""
        found = []
        if self.cuts:
            found.append("its heat was cut")
        if self.platens is not None and self.heading_for is not None:
            stood = f"{degrees(self.platens)}, set to {degrees(self.heading_for)}"
            found.append(f"{LAID_IN} between platens at about {stood}: its dwell is reckoned from there")
        elif not self.soaked:
            found.append(f"{LAID_IN} before the platens had soaked")
        if self.points:
            found.append(f"its heaters are set to {degrees(self.points[-1][1])}, which its recipe is not")
        return (f"{'; '.join(found)}: {CUT}",) if found else ()


def hot_history(
    shop: Workshop, stay: Stay, heat: Heat | None, stays: Sequence[Stay], *, set_point: float | None
) -> HotHistory:
    """Of one mould that stands in a hot press, by what was told of the press.

    Parameters
    ----------
    stays
        All that is known of the shop, the mould's own too.
    set_point
        Of its recipe [°C]; None: not known.
    """
    if heat is None:
        return HotHistory()
    before = platens_of(shop, heat, stays, at=stay.since)
    platens: float | None = None
    cold, soaked = False, True
    if before is not None:
        reckoned = before.set_point if set_point is None else set_point
        platens = before.platens if abs(before.platens - reckoned) > COLDER else None
        cold = before.platens < before.set_point - COLDER
        soaked = before.on and before.ready is not None and before.ready <= stay.since
    return HotHistory(
        cuts=tuple(_cuts(stay, heat)),
        reads=tuple((_after(stay, at), value) for at, value in heat.reads if at > stay.since),
        points=tuple(_points(stay, heat, set_point)),
        platens=platens,
        heading_for=before.set_point if before is not None and cold else None,
        soaked=soaked,
    )


def _after(stay: Stay, at: datetime) -> float:
    return (at - stay.since).total_seconds()


def _cuts(stay: Stay, heat: Heat) -> list[tuple[float, float | None]]:
    return [
        (max(0.0, _after(stay, start)), None if end is None else _after(stay, end))
        for start, end in heat.cuts
        if end is None or end > stay.since
    ]


def _points(stay: Stay, heat: Heat, recipe: float | None) -> list[tuple[float, float]]:
    """What the heaters were set to as it was laid down, where the recipe says otherwise, and each setting since."""
    if recipe is None:
        return []
    held = [value for at, value in heat.points if at <= stay.since]
    told = [(0.0, held[-1])] if held else []
    told += [(_after(stay, at), value) for at, value in heat.points if at > stay.since]
    found: list[tuple[float, float]] = []
    for at, value in told:
        if abs(value - (found[-1][1] if found else recipe)) > OFF:
            found.append((at, value))
    return found
