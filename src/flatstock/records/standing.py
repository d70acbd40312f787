"""Which of some events no longer stand, asked by index."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, select

from flatstock.records.event_rows import by_id, correcting
from flatstock.records.tables.events import event
from flatstock.running.event import Event
from flatstock.running.standing import CORRECTING, standing

__all__ = ["struck", "tree"]


def struck(db: Connection, ids: Sequence[str]) -> set[str]:
    """Those of `ids` that were undone or corrected, and those that only undo or correct."""
    found = by_id(db, ids)
    corrected = {one.corrects for one in correcting(db, ids)}
    gone = {one.id for one in found if one.kind in CORRECTING}
    for name in corrected - gone:
        if name is None:
            continue
        events = tree(db, name)
        now = standing(events)
        if not now or now[0] != next(one for one in events if one.id == name):
            gone.add(name)
    return gone


def tree(db: Connection, root: str) -> list[Event]:
    """An event and everything that corrects it, or corrects that in turn."""
    found = {one.id: one for one in by_id(db, [root])}
    fresh = [root]
    while fresh:
        more = [one for one in correcting(db, fresh) if one.id not in found]
        found |= {one.id: one for one in more}
        fresh = [one.id for one in more]
    return list(found.values())


def root_of(db: Connection, name: str) -> str:
    """The event that a chain of corrections begins with."""
    seen = {name}
    while True:
        above = db.execute(select(event.c.corrects).where(event.c.id == name)).scalar()
        if above is None or above in seen:
            return name
        seen.add(above)
        name = above
