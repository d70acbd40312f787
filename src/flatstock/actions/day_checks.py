"""Whether the start checks of a day have been gone through."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, tzinfo

from flatstock.running.event import Event

__all__ = ["START", "started_today"]

START = "start"  #: what the event calls the list


def started_today(events: Sequence[Event], now: datetime, zone: tzinfo) -> Event | None:
    """The start checks of the day of `now`, the last time that somebody went through them; None: nobody yet."""
    day = now.astimezone(zone).date()
    taken_back = {one.corrects for one in events if one.kind == "undone"}
    return next(
        (
            one
            for one in reversed(events)
            if one.kind == "checked"
            and one.facts.get("list") == START
            and one.id not in taken_back
            and one.at.astimezone(zone).date() == day
        ),
        None,
    )
