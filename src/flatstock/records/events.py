"""Events into their table: added once each, followed by what they change in others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from itertools import islice
from math import isfinite

from sqlalchemy import Connection, insert

from flatstock.errors import Fault, Refused
from flatstock.records.consequences import follow
from flatstock.records.event_rows import by_id, numbers_of
from flatstock.records.sheets import Recipe
from flatstock.records.tables.events import event
from flatstock.running.event import Event

__all__ = ["PIECE", "append"]

PIECE = 2000  #: events that are read or kept at once
_TEXTS = ("id", "kind", "sheet", "place", "corrects", "why", "device")


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
    before = numbers_of(db, (e.id for e in piece))
    fresh: dict[str, Event] = {}
    again = [e for e in piece if e.id in before]
    for one in piece:
        _check(one)
        if one.id in before:
            continue
        if fresh.setdefault(one.id, one) != one:
            raise _taken(one)
    for old in by_id(db, [e.id for e in again]):
        if old not in again:
            raise _taken(old)
    _check_corrected(db, fresh)
    if fresh:
        db.execute(insert(event), [_row(one, now) for one in fresh.values()])
        before |= numbers_of(db, fresh)
        _follow(db, fresh, made_by)
    return [before[one.id] for one in piece]


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
    there = numbers_of(db, [corrected for corrected, _ in wanted])
    for corrected, one in wanted:
        if corrected not in there:
            what = f"event {one.id!r} corrects {corrected!r}, which is not on record"
            raise Refused(Fault("", what, "send the event that it corrects first"))


def _taken(one: Event) -> Refused:
    what = f"the id {one.id!r} is on record for another event"
    return Refused(Fault("", what, "give the second one an id of its own"))


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
