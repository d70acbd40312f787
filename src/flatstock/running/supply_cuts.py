"""When the whole shop was without supply: what blows or pumps stopped then, until somebody says that it runs again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from flatstock.running.event import Event

__all__ = ["Calm", "calms_at", "calms_of"]


@dataclass(frozen=True, slots=True)
class Calm:
    """A time in which no fan blows and no water runs."""

    since: datetime
    until: datetime | None  #: None: nobody has said that they run again
    place: str | None = None  #: None: of every place of which nobody has said it


def calms_of(events: Sequence[Event], now: datetime) -> tuple[Calm, ...]:
    """Each cut of the whole shop's supply, in order: where it was told that fans run again until then, else until now.

    A cut of one press alone stops nothing else. That the supply is back does not say that a fan has started.

    Parameters
    ----------
    events
        That stand, in order.
    """
    found: list[Calm] = []
    for one in (one for one in events if one.kind == "power_cut" and one.place is None and one.at <= now):
        told: dict[str, datetime] = {}
        for note in events:
            if (
                note.kind == "note"
                and note.facts.get("fans") == "on"
                and note.place
                and one.at <= note.at <= now
            ):
                told.setdefault(note.place, note.at)
        found += [Calm(one.at, until, place) for place, until in told.items()]
        found.append(Calm(one.at, None))
    return tuple(found)


def calms_at(calms: Sequence[Calm], place: str, *, after: datetime) -> list[tuple[datetime, datetime | None]]:
    """The spans of one place that begin later than `after`, in order, none within another.

    What began before a mould was clamped counts no more for it: whoever clamped it saw the fans.
    """
    found: list[tuple[datetime, datetime | None]] = []
    for since in dict.fromkeys(one.since for one in calms if one.since > after):
        mine = [one for one in calms if one.since == since and one.place in (None, place)]
        until = next((one.until for one in mine if one.place == place), None)
        if found and (found[-1][1] is None or found[-1][1] >= since):
            since = found.pop()[0]  # one calm that a further cut has made longer
        found.append((since, until))
    return found
