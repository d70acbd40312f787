"""Whether the extract runs, as far as anybody has said, and what is not opened hot before somebody has."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from flatstock.running.breach import Breach, soft
from flatstock.running.event import Event
from flatstock.running.situation import Situation
from flatstock.running.start_checks import START, counts_today
from flatstock.running.words import clock

__all__ = ["OPENED_HOT", "Extract", "extract_of", "extracted"]

#: steps that let fume out of a hot mould; the caution "fume" asks for extract at the opening of the press
OPENED_HOT = frozenset({"breathed", "transferred"})


@dataclass(frozen=True, slots=True)
class Extract:
    """What was last said of the extract."""

    on: bool | None  #: None: nobody has said anything today
    since: datetime | None
    cut: bool = False  #: it stopped with the supply, and nobody has said since that it runs again


def extract_of(events: Sequence[Event], now: datetime, zone: tzinfo) -> Extract:
    """Fold events that stand, in order, up to `now`.

    Whoever signs the start checks has seen it run. A power cut of the whole shop stops it, and nothing but a person
    says that it runs again. What was said yesterday says nothing of today.
    """
    found = Extract(None, None)
    for one in events:
        if one.at > now or not counts_today(one.at, now, zone):
            continue
        if one.kind == "extract_on" or _seen(one):
            found = Extract(True, one.at) if not found.on else found
        elif one.kind == "extract_off":
            found = Extract(False, one.at)
        elif one.kind == "power_cut" and one.place is None:
            found = Extract(False, one.at, cut=True)
    return found


def _seen(one: Event) -> bool:
    return one.kind == "checked" and one.facts.get("list") == START and not one.facts.get("wrong")


def extracted(event: Event, now: Situation) -> Iterator[Breach]:
    """A mould opened hot or breathed while nobody has said that the extract runs."""
    if event.kind not in OPENED_HOT:
        return
    found = extract_of(now.events, event.at, now.zone)
    if found.on:
        return
    if found.since is None:
        what = "nobody has said today that it runs"
    else:
        what = f"it is off since {clock(found.since, now.zone)}"
    leave = "if it does not run, leave the press closed and switch the heaters off at the isolator"
    yield soft("extract", what, f"switch it on and say so; {leave}")
