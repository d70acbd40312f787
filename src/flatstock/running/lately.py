"""What the floor still has to know of a long past: a board is worked out anew at every tap, and a fortnight is long."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from flatstock.running.event import Event
from flatstock.running.standing import CORRECTING

__all__ = ["Lately", "lately"]

SETTLED = timedelta(hours=24)  #: after a sheet's last event its questions are no longer asked on the board
DAILY = timedelta(hours=36)  #: what counts by the day, a night shift's too
DONE = ("trimmed", "scrapped")  #: with these a sheet has left the floor, unless its mould stands somewhere
_OF_THE_DAY = (
    "arrived", "left", "platen_read", "extract_on", "extract_off", "counted", "tested", "checked", "handed_over",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Lately:
    """Events that still count on the floor, and the sheets that are over and done with."""

    events: tuple[Event, ...]
    settled: frozenset[str]

    def plan(self, plan: Mapping[str, Any] | None) -> Mapping[str, Any] | None:
        """A `flatstock.plan/1` without the sheets that are settled: nothing is to be done to them."""
        if plan is None or not self.settled:
            return plan
        sheets = [one for one in plan.get("sheets", ()) if one["id"] not in self.settled]
        tasks = [one for one in plan.get("tasks", ()) if one["sheet"] not in self.settled]
        return {**plan, "sheets": sheets, "tasks": tasks}


def lately(events: Iterable[Event], now: datetime, *, wanted: Iterable[str] = ()) -> Lately:
    """The events without those of settled sheets, and without what counted on an earlier day alone.

    A sheet is settled a day after its last event, once it was trimmed or given up and nobody has put that right since;
    one that was given up while it cooled once it was taken out as well. What went through a cooling press within a day
    before a mould that still stands is kept with it: that mould found the plates as warm as the others had left them.
    `wanted`: sheets that are asked about, settled or not.
    """
    known = list(events)
    by_id = {one.id: one for one in known}
    struck = {one.corrects for one in known if one.kind in CORRECTING}
    of = {one.id: _sheet(one, by_id) for one in known}
    last: dict[str, datetime] = {}
    done: set[str] = set()
    laid: set[str] = set()  # where they cool, and nobody has taken them out
    came: dict[str, tuple[str | None, datetime]] = {}  # into which cooling press, and when
    for one in known:
        sheet = of[one.id]
        if sheet is None:
            continue
        last[sheet] = max(last.get(sheet, one.noted_at), one.noted_at, one.at)
        if one.kind in DONE and one.id not in struck:
            done.add(sheet)
        if one.kind == "transferred":
            laid.add(sheet)
            came[sheet] = (one.where, one.at)
        elif one.kind in ("demoulded", "trimmed"):
            laid.discard(sheet)
    stand = [came[name] for name in laid]
    warmed = {
        name
        for name, (press, at) in came.items()
        if any(press == there and timedelta(0) <= since - at <= SETTLED for there, since in stand)
    }
    settled = frozenset(name for name in done - laid - warmed if now - last[name] > SETTLED) - set(wanted)
    kept = [
        one
        for one in known
        if of[one.id] not in settled and not (one.kind in _OF_THE_DAY and now - one.at > DAILY)
    ]
    return Lately(tuple(kept), settled)


def _sheet(event: Event, by_id: Mapping[str, Event]) -> str | None:
    """The sheet that an event is of; of a correction that of what it corrects."""
    seen: set[str] = set()
    while event.kind in CORRECTING and event.corrects is not None and event.id not in seen:
        seen.add(event.id)
        event = by_id.get(event.corrects, event)
    return event.sheet
