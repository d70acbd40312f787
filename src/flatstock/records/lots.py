"""Lots on record: their status, their book stock, and what the scale says against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from flatstock.errors import Fault, Refused
from flatstock.records.tables.stock import lot as lots
from flatstock.records.tables.stock import lot_status, stock_entry, weighing, withdrawn

__all__ = [
    "LotState",
    "StatusEntry",
    "begin",
    "book",
    "count",
    "is_on_record",
    "rebooked",
    "set_status",
    "state_of",
    "states",
    "weighed_for",
]

_SMALL = 1e-9  #: kg; sums of weighings are kept to the microgram


@dataclass(frozen=True, slots=True, kw_only=True)
class LotState:
    """What the records say of a lot now."""

    id: str
    status: str
    mass: float  #: on hand by the book [kg]


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusEntry:
    """Who gave a lot its status, when and why."""

    status: str
    at: datetime
    who: tuple[str, ...]
    why: str


def begin(
    db: Connection, row: dict[str, object], status: str, at: datetime, who: Sequence[str], why: str
) -> None:
    """Take a lot in; `row` has id, plastic, colour, origin, mass_kg."""
    db.execute(insert(lots), [row | {"status": "received"}])
    name = str(row["id"])
    set_status(db, name, status, at=at, who=who, why=why)
    entry = {
        "lot": name,
        "kind": "written",
        "change_kg": row["mass_kg"],
        "at": at,
        "who": list(who),
        "why": why,
    }
    db.execute(insert(stock_entry), [entry])


def set_status(
    db: Connection,
    name: str,
    status: str,
    *,
    at: datetime,
    who: Sequence[str],
    why: str,
    event: str | None = None,
) -> None:
    """Give a lot a status, with who and why. Raises `Refused` without a reason."""
    if not why.strip():
        raise Refused(Fault(name, f"no reason is given for {status}", "say why"))
    state_of(db, name)
    entry = {"lot": name, "status": status, "at": at, "who": list(who), "why": why, "event": event}
    db.execute(insert(lot_status), [entry])
    db.execute(update(lots).where(lots.c.id == name).values(status=status))


def history(db: Connection, name: str) -> list[StatusEntry]:
    """Every status that a lot has had, oldest first."""
    rows = db.execute(select(lot_status).where(lot_status.c.lot == name).order_by(lot_status.c.seq))
    return [StatusEntry(status=r.status, at=r.at, who=tuple(r.who), why=r.why) for r in rows]


def is_on_record(db: Connection, name: str) -> bool:
    """True where there is such a lot."""
    return db.execute(select(lots.c.id).where(lots.c.id == name)).first() is not None


def state_of(db: Connection, name: str) -> LotState:
    """A lot's status and book stock. Raises `Refused` where there is no such lot."""
    row = db.execute(select(lots.c.id, lots.c.status, lots.c.mass_kg).where(lots.c.id == name)).first()
    if row is None:
        raise Refused(Fault("", f"no lot {name} is on record", "take it in first"))
    return LotState(id=row.id, status=row.status, mass=row.mass_kg)


def states(db: Connection) -> dict[str, LotState]:
    """Every lot's status and book stock."""
    rows = db.execute(select(lots.c.id, lots.c.status, lots.c.mass_kg))
    return {r.id: LotState(id=r.id, status=r.status, mass=r.mass_kg) for r in rows}


def rebooked(db: Connection, after: int) -> dict[str, float]:
    """Book stock [kg] of the lots that have an entry numbered above `after`; found by the entries' numbers."""
    entered = select(stock_entry.c.lot).where(stock_entry.c.seq > after).distinct()
    rows = db.execute(select(lots.c.id, lots.c.mass_kg).where(lots.c.id.in_(entered)))
    return {row.id: row.mass_kg for row in rows}


def weighed_for(db: Connection, sheets: Sequence[str]) -> dict[str, dict[str, float]]:
    """What was weighed for each of these sheets and stands, by lot [kg]; those of which nothing was are left out."""
    back = select(withdrawn.c.event).where(withdrawn.c.event == weighing.c.event).exists()
    found: dict[str, dict[str, float]] = {}
    for start in range(0, len(sheets), 500):
        some = sheets[start : start + 500]
        for row in db.execute(select(weighing).where(weighing.c.sheet.in_(some), ~back)):
            of = found.setdefault(row.sheet, {})
            of[row.lot] = of.get(row.lot, 0.0) + row.actual_kg
    return found


def book(
    db: Connection,
    name: str,
    kind: str,
    change: float,
    *,
    at: datetime,
    who: Sequence[str],
    why: str | None = None,
    counted: float | None = None,
    event: str | None = None,
) -> float:
    """Enter a change [kg] in a lot's book; what it holds then.

    Where more was weighed than the book holds, the book was wrong: an entry of its own says by how much.
    """
    before = state_of(db, name).mass
    entry = {"lot": name, "at": at, "who": list(who), "event": event}
    entries = [entry | {"kind": kind, "change_kg": change, "counted_kg": counted, "why": why}]
    after = round(before + change, 9)
    if after < -_SMALL:
        said = {"kind": "more_than_booked", "change_kg": -after, "counted_kg": None}
        entries.insert(0, entry | said | {"why": "more was weighed than the book held"})
    after = max(after, 0.0)
    db.execute(insert(stock_entry), entries)
    db.execute(update(lots).where(lots.c.id == name).values(mass_kg=after))
    return after


def count(
    db: Connection,
    name: str,
    on_scale: float,
    *,
    at: datetime,
    who: Sequence[str],
    why: str,
    event: str | None = None,
) -> float:
    """Set the book to what the scale says now [kg]; what the book was off by, scale less book."""
    off = round(on_scale - state_of(db, name).mass, 9)
    book(db, name, "counted", off, at=at, who=who, why=why, counted=on_scale, event=event)
    return off
