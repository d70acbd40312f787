"""What an event changes beside itself: weighings and their book, statuses of lots; and taking that back.

In the transaction that keeps the event, so that no door leads to one without the other.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection, func, insert, select

from flatstock.records import lots
from flatstock.records.tables.stock import lot_status, passage, stock_entry, weighing, withdrawn
from flatstock.running.event import Event

__all__ = ["follow"]

_STATUS = {"blocked": "blocked", "released": "released", "quarantined": "quarantine", "emptied": "empty"}


def follow(db: Connection, event: Event, earlier: Event | None) -> None:
    """Do what follows from `event`; `earlier` is the one that it corrects."""
    if event.kind in ("undone", "corrected") and earlier is not None:
        _take_back(db, earlier, event)
        if event.kind == "corrected" and earlier.kind not in ("undone", "corrected"):
            _apply(db, replace(event, kind=earlier.kind, sheet=earlier.sheet, corrects=None))
        return
    _apply(db, event)


def _apply(db: Connection, event: Event) -> None:
    name = event.facts.get("lot")
    if not isinstance(name, str) or not lots.is_on_record(db, name):
        return  # records of a floor alone, whose workshop is still in its files
    mass = event.facts.get("mass_kg")
    if event.kind == "weighed" and event.sheet is not None and isinstance(mass, int | float):
        _weigh(db, event, name, float(mass))
    elif event.kind == "counted" and isinstance(mass, int | float):
        lots.count(db, name, float(mass), at=event.at, who=event.who, why=event.why or "counted on the scale")
    elif status := _STATUS.get(event.kind):
        lots.set_status(
            db, name, status, at=event.at, who=event.who, why=event.why or event.kind, event=event.id
        )


def _weigh(db: Connection, event: Event, name: str, mass: float) -> None:
    target = event.facts.get("target_kg")
    row = {
        "event": event.id,
        "sheet": event.sheet,
        "lot": name,
        "target_kg": float(target) if isinstance(target, int | float) else None,
        "actual_kg": mass,
        "at": event.at,
        "who": list(event.who),
    }
    db.execute(insert(weighing), [row])
    way = {"from_kind": "lot", "from_id": name, "to_kind": "sheet", "to_id": event.sheet, "mass_kg": mass}
    db.execute(insert(passage), [way | {"at": event.at, "who": list(event.who), "event": event.id}])
    lots.book(db, name, "weighed", -mass, at=event.at, who=event.who, event=event.id)


def _take_back(db: Connection, earlier: Event, by: Event) -> None:
    """Enter the opposite of what followed from an event; the entries themselves stay."""
    if db.execute(select(withdrawn.c.event).where(withdrawn.c.event == earlier.id)).first():
        return
    db.execute(insert(withdrawn), [{"event": earlier.id, "by_event": by.id}])
    said = {"at": by.at, "who": list(by.who), "why": by.why or by.kind, "event": by.id}
    for way in db.execute(select(passage).where(passage.c.event == earlier.id)).all():
        same = {name: getattr(way, name) for name in ("from_kind", "from_id", "to_kind", "to_id", "mass_kg")}
        db.execute(insert(passage), [same | said | {"withdraws": way.seq}])
    total = select(stock_entry.c.lot, func.sum(stock_entry.c.change_kg).label("change_kg"))
    for entry in db.execute(total.where(stock_entry.c.event == earlier.id).group_by(stock_entry.c.lot)).all():
        lots.book(db, entry.lot, "given_back", -entry.change_kg, at=by.at, who=by.who, event=by.id)
    for entry in db.execute(select(lot_status).where(lot_status.c.event == earlier.id)).all():
        _status_before(db, entry.lot, entry.seq, by, by.at)


def _status_before(db: Connection, name: str, seq: int, by: Event, at: datetime) -> None:
    """Back to the status before, unless somebody has given the lot another since."""
    newest, before = (
        db.execute(
            select(lot_status.c.seq, lot_status.c.status)
            .where(lot_status.c.lot == name, lot_status.c.seq <= most)
            .order_by(lot_status.c.seq.desc())
        ).first()
        for most in (2**62, seq - 1)
    )
    if newest is not None and newest.seq == seq and before is not None:
        why = by.why or f"{by.kind}: back to what it was"
        lots.set_status(db, name, before.status, at=at, who=by.who, why=why, event=by.id)
