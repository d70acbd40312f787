"""Events on record: which there are, by number, by id, by instant, by sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any

from sqlalchemy import Connection, Row, Select, func, select

from flatstock.records.tables.events import event
from flatstock.running.event import Event

__all__ = [
    "Choice",
    "between",
    "by_id",
    "correcting",
    "first_since",
    "last",
    "numbers_of",
    "of_sheets",
    "read",
]


@dataclass(frozen=True, slots=True)
class Choice:
    """Which events; None: any."""

    since: datetime | None = None  #: happened at or after this instant
    sheet: str | None = None
    kinds: tuple[str, ...] | None = None
    correcting: str | None = None  #: id of the event that they correct


def read(
    db: Connection, after: int = 0, choice: Choice | None = None, *, most: int | None = None
) -> list[tuple[int, Event]]:
    """Events with a number above `after`, by number, at most so many."""
    query = select(event).where(event.c.seq > after).order_by(event.c.seq)
    if choice is not None:
        query = _chosen(query, choice)
    return [(row.seq, _event(row)) for row in db.execute(query.limit(most) if most is not None else query)]


def between(db: Connection, since: datetime, until: datetime, kinds: Iterable[str]) -> list[Event]:
    """The events of some kinds that happened within a span, the first first; found by the index of instants."""
    query = (
        select(event)
        .where(event.c.at >= since, event.c.at <= until, event.c.kind.in_(tuple(kinds)))
        .order_by(event.c.at, event.c.seq)
    )
    return [_event(row) for row in db.execute(query)]


def first_since(db: Connection, since: datetime) -> int:
    """The smallest number of an event that happened at or after an instant; one above the last where none did.

    Found by the index of instants alone: numbers are looked through from the first one otherwise.
    """
    found = db.execute(select(func.min(event.c.seq + 0)).where(event.c.at >= since)).scalar()
    return last(db) + 1 if found is None else int(found)


def by_id(db: Connection, ids: Iterable[str]) -> list[Event]:
    """The events of these ids that are on record."""
    return [
        _event(row) for some in _pieces(ids) for row in db.execute(select(event).where(event.c.id.in_(some)))
    ]


def of_sheets(db: Connection, sheets: Iterable[str]) -> list[Event]:
    """The events of these sheets, those of one sheet by their number."""
    return [
        _event(row)
        for some in _pieces(sheets)
        for row in db.execute(
            select(event).where(event.c.sheet.in_(some)).order_by(event.c.sheet, event.c.seq)
        )
    ]


def correcting(db: Connection, ids: Iterable[str]) -> list[Event]:
    """The events that undo or correct one of these."""
    return [
        _event(row)
        for some in _pieces(ids)
        for row in db.execute(select(event).where(event.c.corrects.in_(some)).order_by(event.c.seq))
    ]


def last(db: Connection) -> int:
    """The number of the newest event, 0 before the first."""
    return db.execute(select(func.max(event.c.seq))).scalar() or 0


def numbers_of(db: Connection, ids: Iterable[str]) -> dict[str, int]:
    """By id the numbers of those of these events that are on record."""
    found: dict[str, int] = {}
    for some in _pieces(ids):
        found |= {
            r.id: r.seq for r in db.execute(select(event.c.id, event.c.seq).where(event.c.id.in_(some)))
        }
    return found


def _chosen(query: Select[Any], choice: Choice) -> Select[Any]:
    if choice.since is not None:
        query = query.where(event.c.at >= choice.since)
    if choice.sheet is not None:
        query = query.where(event.c.sheet == choice.sheet)
    if choice.kinds is not None:
        query = query.where(event.c.kind.in_(choice.kinds))
    if choice.correcting is not None:
        query = query.where(event.c.corrects == choice.correcting)
    return query


def _pieces(ids: Iterable[str]) -> Iterator[list[str]]:
    left = iter(ids)
    while some := list(islice(left, 500)):  # SQLite takes a limited number of values in one question
        yield some


def _event(row: Row[Any]) -> Event:
    return Event(
        id=row.id,
        at=row.at,
        noted_at=row.noted_at,
        kind=row.kind,
        who=tuple(row.who),
        sheet=row.sheet,
        place=row.place,
        facts=row.facts,
        corrects=row.corrects,
        why=row.why,
        device=row.device,
    )
