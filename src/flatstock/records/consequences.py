"""What an event changes beside itself: weighings and their book, statuses of lots, steps and measurements of sheets.

In the transaction that keeps the event, so that no door leads to one without the other. A correction takes back what
followed from what it corrects, and enters what follows from the event as it stands now; an entry itself stays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection, insert, select

from flatstock.records import lots
from flatstock.records.book import holds_after, last_said, should_hold
from flatstock.records.sheets import Recipe, freeze
from flatstock.records.standing import root_of, tree
from flatstock.records.tables.sheets import (
    fault,
    frozen,
    measurement,
    recipe,
    safety_check,
    signature,
    step,
    thickness,
)
from flatstock.records.tables.stock import lot_status, passage, stock_entry, weighing, withdrawn
from flatstock.running.event import Event
from flatstock.running.standing import CORRECTING, standing

__all__ = ["follow"]

_STATUS = {"blocked": "blocked", "released": "released", "quarantined": "quarantine", "emptied": "empty"}
_STEPS = ("prepared", "loaded", "breathed", "transferred", "moved", "demoulded", "trimmed", "scrapped")
_NUMBERS = ("mass_kg", "length_mm", "width_mm", "bow_mm", "bow_over_mm")
_WORDS = ("grade", "face_up", "front_edge")


def follow(db: Connection, event: Event, made_by: Mapping[str, Recipe]) -> None:
    """Do what follows from `event`; `made_by`: the recipe in force of each sheet that is weighed or loaded."""
    if event.kind not in CORRECTING:
        _apply(db, event, made_by.get(event.sheet or ""))
    elif event.corrects is not None:
        _put_right(db, event)


def _put_right(db: Connection, by: Event) -> None:
    """An event is corrected, undone, or stands again because its correction is undone."""
    root = root_of(db, by.corrects or "")
    events = tree(db, root)
    others = [one.id for one in events if one.id != by.id]
    gone = set(db.execute(select(withdrawn.c.event).where(withdrawn.c.event.in_(others))).scalars())
    earlier = [one for one in others if one not in gone]
    made_by = _recipe_of(db, others)
    for one in earlier:
        _take_back(db, one, by)
    for now in standing(events):
        again = replace(now, id=by.id, corrects=None)
        _apply(db, again, made_by, replaces=others)


def _apply(db: Connection, event: Event, made_by: Recipe | None, replaces: list[str] | None = None) -> None:
    if event.sheet is not None:
        _of_sheet(db, event, event.sheet, made_by)
    # what found something not right stands as an event; it is no check that was passed
    passed = event.kind == "checked" and not event.facts.get("wrong")
    if passed and isinstance(said := event.facts.get("list"), str):
        row = {"event": event.id, "list": said, "at": event.at, "who": list(event.who)}
        db.execute(insert(safety_check), [row])
    if event.kind == "handed_over":
        people = dict.fromkeys(event.who)
        db.execute(insert(signature), [{"event": event.id, "person": p, "at": event.at} for p in people])
    _of_lot(db, event, replaces or [])


def _of_sheet(db: Connection, event: Event, sheet: str, made_by: Recipe | None) -> None:
    said = {"event": event.id, "sheet": sheet, "at": event.at, "who": list(event.who)}
    facts = event.facts
    if event.kind in ("weighed", "loaded"):
        freeze(db, event, made_by)
    if event.kind in _STEPS:
        row = {"kind": event.kind, "place": event.where, "set_point_C": _number(facts.get("set_point_C"))}
        db.execute(insert(step), [said | row])
    if event.kind == "measured":
        row = {name: _number(facts.get(name)) for name in _NUMBERS}
        row |= {name: facts.get(name) for name in _WORDS}
        db.execute(insert(measurement), [said | row])
        points = {n: _number(facts.get(f"t{n}_mm")) for n in range(1, 10)}
        rows = [{"event": event.id, "point": n, "mm": mm} for n, mm in points.items() if mm is not None]
        if rows:
            db.execute(insert(thickness), rows)
    if event.kind == "fault" and isinstance(what := facts.get("fault"), str):
        db.execute(insert(fault), [said | {"fault": what, "spot": facts.get("spot")}])


def _of_lot(db: Connection, event: Event, replaces: list[str]) -> None:
    name = event.facts.get("lot")
    if not isinstance(name, str) or not lots.is_on_record(db, name):
        return  # records of a floor alone, whose workshop is still in its files
    mass = event.facts.get("mass_kg")
    if event.kind == "weighed" and event.sheet is not None and isinstance(mass, int | float):
        _weigh(db, event, name, float(mass), replaces)
    elif event.kind == "note" and event.facts.get("about") == "weighed" and event.sheet is not None:
        _way(
            db, event, name, _number(mass)
        )  # told after the lot was held: no weighing, but a recall finds it
    elif event.kind == "counted" and isinstance(mass, int | float):
        _count(db, event, name, float(mass))
    elif status := _STATUS.get(event.kind):
        lots.set_status(
            db, name, status, at=event.at, who=event.who, why=event.why or event.kind, event=event.id
        )


def _count(db: Connection, event: Event, name: str, mass: float) -> None:
    """The book holds what the scale said, less what was weighed out after it; or goes by a later count."""
    last, before = last_said(db, name), lots.state_of(db, name).mass
    older = last is not None and last.at is not None and last.at > event.at
    off = 0.0 if older else round(holds_after(db, name, mass, event.at) - before, 9)
    why = event.why or "counted on the scale"
    lots.book(db, name, "counted", off, at=event.at, who=event.who, why=why, counted=mass, event=event.id)


def _weigh(db: Connection, event: Event, name: str, mass: float, replaces: list[str]) -> None:
    same = select(weighing.c.event).where(
        weighing.c.event.in_(replaces), weighing.c.lot == name, weighing.c.sheet == event.sheet
    )
    row = {
        "event": event.id,
        "sheet": event.sheet,
        "lot": name,
        "target_kg": _number(event.facts.get("target_kg")),
        "actual_kg": mass,
        "at": event.at,
        "who": list(event.who),
        "replaces": db.execute(same).scalars().first() if replaces else None,
    }
    db.execute(insert(weighing), [row])
    _way(db, event, name, mass)
    last = last_said(db, name)
    if last is not None and last.at is not None and last.at >= event.at:
        why = "weighed out before the lot was counted: its count had that in it"
        lots.book(db, name, "counted", mass, at=event.at, who=event.who, why=why, event=event.id)
    lots.book(db, name, "weighed", -mass, at=event.at, who=event.who, event=event.id)


def _way(db: Connection, event: Event, lot: str, mass: float | None) -> None:
    """Some of a lot went into a sheet."""
    way = {"from_kind": "lot", "from_id": lot, "to_kind": "sheet", "to_id": event.sheet, "mass_kg": mass}
    db.execute(insert(passage), [way | {"at": event.at, "who": list(event.who), "event": event.id}])


def _take_back(db: Connection, earlier: str, by: Event) -> None:
    """Enter the opposite of what followed from an event; the entries themselves stay."""
    db.execute(insert(withdrawn), [{"event": earlier, "by_event": by.id}])
    said = {"at": by.at, "who": list(by.who), "why": by.why or by.kind, "event": by.id}
    for way in db.execute(select(passage).where(passage.c.event == earlier)).all():
        if way.withdraws is not None:
            continue
        same = {name: getattr(way, name) for name in ("from_kind", "from_id", "to_kind", "to_id", "mass_kg")}
        db.execute(insert(passage), [same | said | {"withdraws": way.seq}])
    booked = (stock_entry.c.event == earlier, stock_entry.c.kind != "given_back")
    for name in db.execute(select(stock_entry.c.lot).where(*booked).distinct()).scalars().all():
        change = round(should_hold(db, name) - lots.state_of(db, name).mass, 9)
        lots.book(db, name, "given_back", change, at=by.at, who=by.who, event=by.id)
    for entry in db.execute(select(lot_status).where(lot_status.c.event == earlier)).all():
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


def _recipe_of(db: Connection, events: list[str]) -> Recipe | None:
    """The recipe that was frozen with an event that is put right: that stays, whatever is in force by now."""
    query = (
        select(recipe.c.name, recipe.c.body, frozen.c.plan)
        .join(frozen, frozen.c.recipe == recipe.c.key)
        .where(frozen.c.event.in_(events))
        .order_by(frozen.c.at.desc())
    )
    row = db.execute(query).first()
    return None if row is None else Recipe(name=row.name, body=row.body, plan=row.plan)


def _number(said: object) -> float | None:
    return float(said) if isinstance(said, int | float) and not isinstance(said, bool) else None
