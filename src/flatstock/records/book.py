"""What changed a lot's mass, an entry a line, and what was weighed out of it since the scale last said.

A count and a weighing may be told in another order than they happened in: a device without a network tells late. What
was weighed out before a count is no longer on the scale then; what was weighed out after it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, Connection, func, select

from flatstock.records.tables.stock import stock_entry, weighing, withdrawn

__all__ = ["BookEntry", "counted_since", "entries_of", "weighed_after", "weighed_since_count"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookEntry:
    """One line of a lot's book [kg]."""

    kind: str  #: written, weighed, given_back, counted, more_than_booked
    change: float
    counted: float | None
    at: datetime
    who: tuple[str, ...]
    why: str | None


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


def weighed_since_count(db: Connection, lot: str) -> tuple[float, ...]:
    """Masses weighed out of a lot [kg] since it was last written or counted; what was taken back left out."""
    last = db.execute(
        select(stock_entry.c.seq, stock_entry.c.kind, stock_entry.c.at)
        .where(stock_entry.c.lot == lot, (stock_entry.c.kind == "written") | _is_count())
        .order_by(stock_entry.c.seq.desc())
        .limit(1)
    ).first()
    if last is None:
        return ()
    if last.kind == "counted":
        return _weighed(db, lot, weighing.c.at > last.at)
    return _weighed(db, lot, stock_entry.c.seq > last.seq)


def weighed_after(db: Connection, lot: str, at: datetime) -> float:
    """What was weighed out of a lot later than an instant, as far as it is told [kg]."""
    return sum(_weighed(db, lot, weighing.c.at > at))


def counted_since(db: Connection, lot: str, at: datetime) -> datetime | None:
    """When a lot was last on the scale as a whole, if that was at an instant or later."""
    back = select(withdrawn.c.event).where(withdrawn.c.event == stock_entry.c.event).exists()
    counts = (stock_entry.c.lot == lot, _is_count(), stock_entry.c.at >= at, ~back)
    found: datetime | None = db.execute(select(func.max(stock_entry.c.at)).where(*counts)).scalar()
    return found


def _is_count() -> ColumnElement[bool]:
    """An entry that has no mass of its own only sets right what a late weighing took twice."""
    return (stock_entry.c.kind == "counted") & stock_entry.c.counted_kg.is_not(None)


def _weighed(db: Connection, lot: str, since: ColumnElement[bool]) -> tuple[float, ...]:
    back = select(withdrawn.c.event).where(withdrawn.c.event == weighing.c.event).exists()
    rows = db.execute(
        select(weighing.c.actual_kg)
        .join(stock_entry, (stock_entry.c.event == weighing.c.event) & (stock_entry.c.kind == "weighed"))
        .where(weighing.c.lot == lot, stock_entry.c.lot == lot, since, ~back)
        .order_by(stock_entry.c.seq)
    )
    return tuple(row.actual_kg for row in rows)
