"""Events in and out of their table: added once each, read by number."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import islice
from math import isfinite
from typing import Any

from sqlalchemy import Connection, Row, Select, func, insert, select

from flatstock.errors import Fault, Refused
from flatstock.records.consequences import follow
from flatstock.records.sheets import Recipe
from flatstock.records.tables.events import event
from flatstock.running.event import Event

__all__ = [
    "PIECE",
    "Choice",
    "append",
    "between",
    "by_id",
    "correcting",
    "first_since",
    "last",
    "of_sheets",
    "read",
]

PIECE = 2000  #: events that are read or kept at once
_TEXTS = ("id", "kind", "sheet", "place", "corrects", "why", "device")


@dataclass(frozen=True, slots=True)
class Choice:
    """Which events; None: any."""

    since: datetime | None = None  #: happened at or after this instant
    sheet: str | None = None
    kinds: tuple[str, ...] | None = None
    correcting: str | None = None  #: id of the event that they correct


def append(
    db: Connection, happened: Iterable[Event], made_by: Mapping[str, Recipe] | None = None
) -> list[int]:
    """Keep events; their numbers in the order given. One that is there already is left as it is.

    `made_by`: by sheet, the recipe in force, which is frozen onto a sheet that is weighed or loaded.

    Raises
    ------
    Refused
        Its id is taken by an event with another content; it corrects one that isn't on record; or it holds what
        can't be kept (a number without an end, a NUL in a text).
    """
    now = datetime.now(UTC)
    left = map(_in_utc, happened)
    numbers: list[int] = []
    while piece := list(islice(left, PIECE)):
        numbers += _append(db, piece, now, made_by or {})
    return numbers


def _append(
    db: Connection, piece: Sequence[Event], now: datetime, made_by: Mapping[str, Recipe]
) -> list[int]:
    before = _numbers(db, (e.id for e in piece))
    fresh: dict[str, Event] = {}
    again = [e for e in piece if e.id in before]
    for one in piece:
        _check(one)
        if one.id in before:
            continue
        if fresh.setdefault(one.id, one) != one:
            raise _taken(one)
    for old in _events(db, [e.id for e in again]):
        if old not in again:
            raise _taken(old)
    _check_corrected(db, fresh)
    if fresh:
        db.execute(insert(event), [_row(one, now) for one in fresh.values()])
        before |= _numbers(db, fresh)
        _follow(db, fresh, made_by)
    return [before[one.id] for one in piece]


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
    return list(_events(db, ids))


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


def _in_utc(one: Event) -> Event:
    """The same event by the clock that the records keep.

    Python holds an instant in the hour that autumn repeats unequal to the same instant of any other clock.
    """
    if one.at.tzinfo is UTC and one.noted_at.tzinfo is UTC:
        return one
    return replace(one, at=one.at.astimezone(UTC), noted_at=one.noted_at.astimezone(UTC))


def _check(one: Event) -> None:
    texts = [getattr(one, name) for name in _TEXTS]
    texts += [*one.who, *one.facts, *(f for f in one.facts.values() if isinstance(f, str))]
    for text in texts:
        if text is not None and ("\0" in text or any("\ud800" <= c <= "\udfff" for c in text)):
            raise Refused(Fault(f"event {one.id!r}", f"{text!r} holds what is no text", "write it again"))
    for name, fact in one.facts.items():
        if isinstance(fact, float) and not isfinite(fact):
            raise Refused(Fault(f"event {one.id!r}", f"{name} is {fact}, which is no number", "correct it"))


def _follow(db: Connection, fresh: dict[str, Event], made_by: Mapping[str, Recipe]) -> None:
    """What each event changes in other tables; one is followed before what corrects it."""
    for one in sorted(fresh.values(), key=lambda e: _depth(e, fresh)):
        follow(db, one, made_by)


def _depth(one: Event, among: dict[str, Event]) -> int:
    """How many events of the parcel come before one because it corrects them in turn."""
    seen = {one.id}
    while one.corrects in among and one.corrects not in seen:
        one = among[one.corrects]
        seen.add(one.id)
    return len(seen)


def _check_corrected(db: Connection, fresh: dict[str, Event]) -> None:
    wanted = [(e.corrects, e) for e in fresh.values() if e.corrects is not None and e.corrects not in fresh]
    there = _numbers(db, [corrected for corrected, _ in wanted])
    for corrected, one in wanted:
        if corrected not in there:
            what = f"event {one.id!r} corrects {corrected!r}, which is not on record"
            raise Refused(Fault("", what, "send the event that it corrects first"))


def _taken(one: Event) -> Refused:
    what = f"the id {one.id!r} is on record for another event"
    return Refused(Fault("", what, "give the second one an id of its own"))


def _numbers(db: Connection, ids: Iterable[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for some in _pieces(ids):
        found |= {
            r.id: r.seq for r in db.execute(select(event.c.id, event.c.seq).where(event.c.id.in_(some)))
        }
    return found


def _events(db: Connection, ids: Iterable[str]) -> Iterator[Event]:
    for some in _pieces(ids):
        yield from (_event(row) for row in db.execute(select(event).where(event.c.id.in_(some))))


def _pieces(ids: Iterable[str]) -> Iterator[list[str]]:
    left = iter(ids)
    while some := list(islice(left, 500)):  # SQLite takes a limited number of values in one question
        yield some


def _row(one: Event, now: datetime) -> dict[str, object]:
    return {
        "id": one.id,
        "at": one.at,
        "noted_at": one.noted_at,
        "kind": one.kind,
        "who": list(one.who),
        "sheet": one.sheet,
        "place": one.place,
        "facts": dict(one.facts),
        "corrects": one.corrects,
        "why": one.why,
        "device": one.device,
        "kept_at": now,
    }


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
