"""What was told, however long ago: as it was told first, as it stands now, and what happened around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from flatstock.records.event_rows import between, by_id
from flatstock.records.sheet_events import events_of_sheet
from flatstock.records.standing import root_of, tree
from flatstock.records.store import Store
from flatstock.running.event import Event
from flatstock.running.kinds import kinds
from flatstock.running.standing import standing

__all__ = ["Telling", "around", "telling_of"]

AROUND = timedelta(days=1)  #: who was here and which heaters were on is told within a day


@dataclass(frozen=True, slots=True)
class Telling:
    """One thing that was told."""

    first: Event  #: as it was told
    now: Event | None  #: with its corrections; None: it was taken back or struck out


def telling_of(store: Store, name: str) -> Telling | None:
    """What the event `name` tells, or what it corrects; None: no event is called so."""
    with store.reading() as db:
        root = root_of(db, name)
        events = tree(db, root)
    first = next((one for one in events if one.id == root), None)
    return None if first is None else Telling(first, next(iter(standing(events)), None))


def around(store: Store, event: Event, known: Sequence[Event]) -> list[Event]:
    """`known` and, where `event` corrects what is older than that, everything of its sheet and of its day."""
    if event.corrects is None or any(one.id == event.corrects for one in known):
        return list(known)
    with store.reading() as db:
        old = by_id(db, [event.corrects])
        found = [one for name in old for one in tree(db, root_of(db, name.id))]
        for one in list(found):
            found += between(db, one.at - AROUND, one.at + AROUND, kinds())
            found += [] if one.sheet is None else events_of_sheet(db, one.sheet)
    by_name = {one.id: one for one in (*found, *known)}
    return list(by_name.values())
