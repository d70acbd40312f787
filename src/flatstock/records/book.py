"""What changed a lot's mass, an entry a line, and what was weighed out of it since the scale last said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from flatstock.records.tables.stock import stock_entry, weighing, withdrawn

__all__ = ["BookEntry", "entries_of", "weighed_since_count"]


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
    last = (
        select(stock_entry.c.seq)
        .where(stock_entry.c.lot == lot, stock_entry.c.kind.in_(("written", "counted")))
        .order_by(stock_entry.c.seq.desc())
        .limit(1)
        .scalar_subquery()
    )
    back = select(withdrawn.c.event).where(withdrawn.c.event == weighing.c.event).exists()
    rows = db.execute(
        select(weighing.c.actual_kg)
        .join(stock_entry, (stock_entry.c.event == weighing.c.event) & (stock_entry.c.kind == "weighed"))
        .where(weighing.c.lot == lot, stock_entry.c.lot == lot, stock_entry.c.seq > last, ~back)
        .order_by(stock_entry.c.seq)
    )
    return tuple(row.actual_kg for row in rows)
