"""What changed a lot's mass, an entry a line, and what was weighed out of it since the scale last said.

A count and a weighing may be told in another order than they happened in: a device without a network tells late. What
was weighed out before a count is no longer on the scale then; what was weighed out after it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, Connection, select

from flatstock.records.tables.stock import stock_entry, weighing, withdrawn

__all__ = ["BookEntry", "entries_of", "holds_after", "last_said", "should_hold", "weighed_since_count"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookEntry:
    """One line of a lot's book [kg]."""

    kind: str  #: written, weighed, given_back, counted, more_than_booked
    change: float
    counted: float | None
    at: datetime
    who: tuple[str, ...]
    why: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a lot held as a whole [kg], and when; without an instant: before anything was weighed out of it."""

    mass: float
    at: datetime | None


def entries_of(db: Connection, lot: str, *, most: int = 50) -> list[BookEntry]:
    """The newest entries of a lot's book, newest first."""
    rows = db.execute(
        select(stock_entry).where(stock_entry.c.lot == lot).order_by(stock_entry.c.seq.desc()).limit(most)
    )
    return [
        BookEntry(
            kind=r.kind, change=r.change_kg, counted=r.counted_kg, at=r.at, who=tuple(r.who or ()), why=r.why
        )
        for r in rows
    ]


def last_said(db: Connection, lot: str) -> Said | None:
    """What the scale last said of a lot as a whole, as far as that stands; else what it was taken in with."""
    back = select(withdrawn.c.event).where(withdrawn.c.event == stock_entry.c.event).exists()
    of_lot = stock_entry.c.lot == lot
    newest = (stock_entry.c.at.desc(), stock_entry.c.seq.desc())
    row = db.execute(select(stock_entry).where(of_lot, _is_count(), ~back).order_by(*newest).limit(1)).first()
    if row is not None:
        return Said(mass=row.counted_kg, at=row.at)
    begun = select(stock_entry.c.change_kg).where(of_lot, stock_entry.c.kind == "written")
    mass: float | None = db.execute(begun.order_by(stock_entry.c.seq.desc()).limit(1)).scalar()
    return None if mass is None else Said(mass=mass, at=None)


def weighed_since_count(db: Connection, lot: str) -> tuple[float, ...]:
    """Masses weighed out of a lot [kg] since it was last written or counted; what was taken back left out."""
    last = last_said(db, lot)
    return () if last is None else _weighed_after(db, lot, last.at)


def should_hold(db: Connection, lot: str) -> float:
    """What a lot holds by everything that stands [kg]: what the scale last said, less what was weighed out since.

    It reads every weighing of the lot, and is asked where something is taken back: other entries follow one by one.
    """
    last = last_said(db, lot)
    return 0.0 if last is None else holds_after(db, lot, last.mass, last.at)


def holds_after(db: Connection, lot: str, mass: float, at: datetime | None) -> float:
    """What is left of a mass [kg] that the scale said at an instant; never less than nothing."""
    return max(round(mass - sum(_weighed_after(db, lot, at)), 9), 0.0)


def _is_count() -> ColumnElement[bool]:
    """An entry that has no mass of its own only sets right what a late weighing took twice."""
    return (stock_entry.c.kind == "counted") & stock_entry.c.counted_kg.is_not(None)


def _weighed_after(db: Connection, lot: str, at: datetime | None) -> tuple[float, ...]:
    """Masses weighed out later than an instant, as far as they are told and stand; None: all of them."""
    back = select(withdrawn.c.event).where(withdrawn.c.event == weighing.c.event).exists()
    query = select(weighing.c.actual_kg).where(weighing.c.lot == lot, ~back).order_by(weighing.c.at)
    rows = db.execute(query if at is None else query.where(weighing.c.at > at))
    return tuple(row.actual_kg for row in rows)
