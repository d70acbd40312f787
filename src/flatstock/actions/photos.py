"""Photographs of sheets: kept with the records, each with who took it and when; taken back like any other telling."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from flatstock.errors import Fault, Refused
from flatstock.records import events
from flatstock.records.photos import KIND, MOST, PhotoNote, photo_of, photos_of, put
from flatstock.records.store import Store
from flatstock.running.event import Event

__all__ = ["MOST", "PhotoNote", "keep_photo", "photo", "photos"]


def keep_photo(
    store: Store,
    sheet: str,
    data: bytes,
    *,
    at: datetime,
    who: Sequence[str],
    of: str | None = None,
    device: str | None = None,
    told: str | None = None,
) -> Event:
    """Keep a photograph of a sheet and the event that says so, in one transaction; the event.

    `told`: the id that a device gave it; told again it changes nothing.

    Raises
    ------
    Refused
        Nobody says that they took it, it is too large, or no picture that is kept.
    """
    if not who:
        raise Refused(Fault("who", "nobody says so", "say who took it"))
    with store.writing() as db:
        key = put(db, data, at)
        event = Event(
            id=told or uuid4().hex,
            at=at,
            noted_at=at,
            kind=KIND,
            who=tuple(who),
            sheet=sheet,
            facts={"photo": key} | ({} if of is None else {"of": of}),
            device=device,
        )
        events.append(db, [event])
    return event


def photos(store: Store, sheet: str) -> list[PhotoNote]:
    """The photographs of a sheet, oldest first; one that was taken back is left out."""
    with store.reading() as db:
        return photos_of(db, [sheet]).get(sheet, [])


def photo(store: Store, key: str) -> tuple[str, bytes] | None:
    """Kind and bytes of a photograph; None: no such one."""
    with store.reading() as db:
        return photo_of(db, key)
