"""Which events stand: each once, corrected by those that correct it, in the order in which things happened.

The answer depends on the set of events alone: not on the order in which they came, nor on how often.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from flatstock.running.event import Event

__all__ = ["once", "standing"]

CORRECTING = ("undone", "corrected")


def once(events: Iterable[Event]) -> dict[str, Event]:
    """Events by id; of two that share an id (a device at fault) the one noted first counts."""
    found: dict[str, Event] = {}
    for event in events:
        known = found.get(event.id)
        if known is None or _told(event) < _told(known):
            found[event.id] = event
    return found


def standing(events: Iterable[Event]) -> list[Event]:
    """What has happened as far as is known now, in order; corrections are worked in and do not show themselves.

    An event that is undone does not stand. A correction of a correction counts; undoing a correction brings
    back what it corrected. Of several corrections of one event the one noted last counts.
    """
    known = once(events)
    by_target: dict[str, list[Event]] = {}
    for event in known.values():
        if event.kind in CORRECTING and event.corrects in known:
            by_target.setdefault(event.corrects, []).append(event)
    found = []
    for event in known.values():
        if event.kind not in CORRECTING:
            now = _as_it_stands(event, by_target, frozenset())
            if now is not None:
                found.append(now)
    return sorted(found, key=lambda event: (event.at, event.noted_at, event.id))


def _as_it_stands(event: Event, by_target: Mapping[str, list[Event]], seen: frozenset[str]) -> Event | None:
    """The event with its last correction worked in; None where it is undone."""
    if event.id in seen:  # events that correct each other in a ring: none of them stands
        return None
    seen |= {event.id}
    valid = [
        standing_one
        for correction in by_target.get(event.id, ())
        if (standing_one := _as_it_stands(correction, by_target, seen)) is not None
    ]
    if not valid:
        return event
    last = max(valid, key=lambda one: (one.noted_at, one.id))
    return None if last.kind == "undone" else _worked_in(event, last)


def _worked_in(event: Event, correction: Event) -> Event:
    return replace(
        event,
        at=correction.at,
        who=correction.who or event.who,
        sheet=correction.sheet or event.sheet,
        place=correction.place or event.place,
        facts={**event.facts, **correction.facts},
        why=correction.why or event.why,
    )


def _told(event: Event) -> tuple[object, ...]:
    return event.noted_at, event.at, repr(event.as_json())
