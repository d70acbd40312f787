"""The start checks of a day: gone through before its first heaters go on, and for how long they count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta, tzinfo

from flatstock.running.breach import Breach, soft
from flatstock.running.event import Event
from flatstock.running.situation import Situation
from flatstock.running.words import clock, named

__all__ = ["NIGHT", "START", "counts_today", "start_checks", "started"]

START = "start"  #: what the event calls the list
#: how far into the next day a check still counts, so that a night shift is not asked at midnight; our own figure
NIGHT = timedelta(hours=8)


def counts_today(at: datetime, now: datetime, zone: tzinfo) -> bool:
    """Whether what was said at an instant still counts as said today."""
    same = at.astimezone(zone).date() == now.astimezone(zone).date()
    return at <= now and (same or now - at < NIGHT)


def start_checks(events: Sequence[Event], now: datetime, zone: tzinfo) -> Event | None:
    """The last word of today on the start checks; None: nobody has gone through them.

    It says what was not right in the fact `wrong`; without one everything was.
    """
    for one in reversed(events):
        if one.kind == "checked" and one.facts.get("list") == START and counts_today(one.at, now, zone):
            return one
    return None


def started(event: Event, now: Situation) -> Iterator[Breach]:
    """Heaters that go on before the day's start checks are signed, or after something was found not right.

    A mould laid into a press of which nobody has said that it is hot says so itself, and is held in the same way.
    """
    heat = now.heats.get(event.where or "")
    heats = event.kind == "heating_on" or (event.kind == "loaded" and heat is not None and not heat.on)
    if not heats:
        return
    said = start_checks(now.events, event.at, now.zone)
    go = "go through the start checks, every line with your own eyes, and sign them"
    if said is None:
        yield soft(event.where or "", "the start checks of today are not signed; its heaters stay off", go)
    elif wrong := said.facts.get("wrong"):
        what = (
            f"at {clock(said.at, now.zone)} {named(said.who)} found not right: {wrong} Its heaters stay off"
        )
        yield soft(event.where or "", what, f"have it put right, then {go}")
