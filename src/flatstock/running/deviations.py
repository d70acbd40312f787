"""Where the making of a sheet left its recipe: what stays on its record, and whether a corner is cut to look inside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from flatstock.running.danger import heats
from flatstock.running.event import Event
from flatstock.running.sheets import Planned
from flatstock.running.words import clock, degrees

__all__ = ["HEAT_KINDS", "SLACK", "Deviation", "deviations"]

#: events of a press that name no sheet
HEAT_KINDS = ("power_cut", "power_back", "heating_on", "heating_off", "platen_read")
SLACK = timedelta(minutes=1)  #: between a step and its tap; our own figure
POINT_OFF = 2.0  #: K that a set-point may be off; a controller's own, our own figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """One of them."""

    at: datetime
    what: str
    cut_test: bool  #: whether the sheet may be raw or scorched inside


def deviations(
    sheet: Sequence[Event],
    press: Sequence[Event],
    recipe: Planned,
    zone: tzinfo,
    now: datetime,
    *,
    cold: bool = False,
) -> tuple[Deviation, ...]:
    """Those of one sheet, the first first.

    Parameters
    ----------
    sheet, press
        The sheet's events that stand; and of `HEAT_KINDS` at least those from when it was laid in, in order.
    recipe
        By which it was weighed or loaded.
    cold
        Whether the platens were not ready when it was laid in, by what was told of them: a load that is told late
        has nobody who says so.
    """
    loaded = next((e for e in reversed(sheet) if e.kind == "loaded"), None)
    if loaded is None or loaded.where is None:
        return ()
    out = next((e for e in sheet if e.kind == "transferred" and e.at >= loaded.at), None)
    end = now if out is None else out.at
    found = [*_cuts(loaded, end, press, zone), *_point(loaded, recipe), *_cold(loaded, cold)]
    if out is not None:
        found += _dwell(loaded, out, recipe)
    return tuple(sorted(found, key=lambda one: one.at))


def _cuts(loaded: Event, end: datetime, press: Sequence[Event], zone: tzinfo) -> Iterator[Deviation]:
    """Heat that failed, or was switched off, while the mould was in the press."""
    assert loaded.where is not None
    events = sorted((loaded, *press), key=lambda e: (e.at, e.id))
    heat = heats(events, (loaded.where,), now=end)[loaded.where]
    for since, until in heat.cuts:
        if since >= end or (until is not None and until <= loaded.at):
            continue
        span = f"from {clock(since, zone)}"
        span += f" to {clock(until, zone)}" if until is not None and until <= end else ""
        what = f"heat of {loaded.where} was off {span} while the mould was in it"
        yield Deviation(at=max(since, loaded.at), what=what, cut_test=True)


def _point(loaded: Event, recipe: Planned) -> Iterator[Deviation]:
    said = loaded.facts.get("set_point_C")
    if isinstance(said, int | float) and recipe.set_point is not None:
        off = said - recipe.set_point
        if abs(off) > POINT_OFF:
            what = f"set-point {degrees(said)} instead of {degrees(recipe.set_point)}"
            yield Deviation(at=loaded.at, what=what, cut_test=off < 0)


def _cold(loaded: Event, reckoned: bool) -> Iterator[Deviation]:
    """Whoever lays a mould between platens that are not ready says so, or it follows from when they were heated."""
    if loaded.facts.get("cold") or reckoned:
        yield Deviation(at=loaded.at, what="laid in before the platens were ready", cut_test=True)


def _dwell(loaded: Event, out: Event, recipe: Planned) -> Iterator[Deviation]:
    """Taken out before it had melted through, before its planned dwell was over, or after what its face bears."""
    stayed = out.at - loaded.at
    said = f"{stayed.total_seconds() / 60:.0f} min in the press"
    if recipe.dwell is not None and stayed + SLACK < timedelta(seconds=recipe.dwell):
        what = f"{said}, {recipe.dwell / 60:.0f} min are needed to melt through"
        yield Deviation(at=out.at, what=what, cut_test=True)
    elif recipe.dwell_planned is not None and stayed + SLACK < timedelta(seconds=recipe.dwell_planned):
        what = f"{said}, {recipe.dwell_planned / 60:.0f} min were planned, breathing and full pressure at their end"
        yield Deviation(at=out.at, what=what, cut_test=False)
    if recipe.dwell_latest is not None and stayed - SLACK > timedelta(seconds=recipe.dwell_latest):
        what = f"{said}, its face bears {recipe.dwell_latest / 60:.0f}"
        yield Deviation(at=out.at, what=what, cut_test=True)
