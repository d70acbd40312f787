"""Sheets on record: the recipe they were made by, what was done to them and found at them, by index."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, Row, Select, Table, exists, func, insert, select

from flatstock.records.tables.sheets import frozen as frozen_table
from flatstock.records.tables.sheets import measurement, recipe, step, thickness
from flatstock.records.tables.sheets import sheet as sheet_table
from flatstock.records.tables.stock import passage, withdrawn
from flatstock.running.event import Event

__all__ = [
    "Frozen",
    "Measurement",
    "Recipe",
    "SheetRow",
    "Step",
    "freeze",
    "frozen_of",
    "frozen_of_sheets",
    "measurements_of",
    "orders_of",
    "sheet_row",
    "sheets_between",
    "sheets_of_orders",
    "steps_of",
    "versions_of",
]

AT_ONCE = 500  #: ids in one question


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """How a sheet is to be made; `body` is what JSON can hold."""

    name: str  #: of what: an order's id, or plastic and thickness
    body: Mapping[str, Any] = field(default_factory=dict)
    plan: str | None = None  #: when the plan that said so was made

    @property
    def key(self) -> str:
        """SHA-256 of name and body: the same for the same recipe, whatever plan it came from."""
        text = json.dumps([self.name, dict(self.body)], sort_keys=True, ensure_ascii=False, allow_nan=False)
        return sha256(text.encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Frozen:
    """The recipe that was in force when a sheet was weighed or loaded."""

    sheet: str
    name: str
    version: int
    body: Mapping[str, Any]
    plan: str | None
    at: datetime
    who: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a sheet's way."""

    event: str
    kind: str
    place: str | None
    set_point: float | None  #: [°C]
    at: datetime
    who: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A sheet measured; what was not measured is None."""

    event: str
    mass: float | None  #: [kg]
    length_mm: float | None
    width_mm: float | None
    bow_mm: float | None
    bow_over_mm: float | None
    grade: str | None
    face_up: str | None
    front_edge: str | None
    points: Mapping[int, float]  #: thickness [mm] by the number of the point
    at: datetime
    who: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One sheet in a list of them."""

    id: str
    order: str | None
    plastic: str | None
    colour: str | None
    thickness_mm: float | None
    at: datetime  #: when something of it was first weighed or loaded


def freeze(db: Connection, event: Event, made_by: Recipe | None) -> None:
    """Keep the sheet of a weighing or a loading, and the recipe in force; a sheet that an order gets goes to it."""
    assert event.sheet is not None
    body = {} if made_by is None else made_by.body
    if db.execute(select(sheet_table.c.id).where(sheet_table.c.id == event.sheet)).first() is None:
        row = {"id": event.sheet, "event": event.id, "at": event.at, "order_id": body.get("order")}
        row |= {name: body.get(name) for name in ("plastic", "colour", "thickness_mm")}
        db.execute(insert(sheet_table), [row])
    if made_by is None:
        return
    if body.get("order"):
        way = {"from_kind": "sheet", "from_id": event.sheet, "to_kind": "order", "to_id": body["order"]}
        known = select(passage.c.seq).where(*(passage.c[name] == value for name, value in way.items()))
        if db.execute(known).first() is None:
            db.execute(insert(passage), [way | {"at": event.at, "who": list(event.who)}])
    key = made_by.key
    if db.execute(select(recipe.c.key).where(recipe.c.key == key)).first() is None:
        newest = db.execute(select(func.max(recipe.c.version)).where(recipe.c.name == made_by.name)).scalar()
        said = {"key": key, "name": made_by.name, "version": (newest or 0) + 1, "body": dict(body)}
        db.execute(insert(recipe), [said | {"at": event.at, "who": list(event.who)}])
    row = {"event": event.id, "sheet": event.sheet, "recipe": key, "plan": made_by.plan}
    db.execute(insert(frozen_table), [row | {"at": event.at, "who": list(event.who)}])


def frozen_of(db: Connection, sheet: str) -> Frozen | None:
    """The recipe that counts for a sheet: of its last loading or weighing that stands; None: none was kept."""
    return frozen_of_sheets(db, [sheet]).get(sheet)


def frozen_of_sheets(db: Connection, sheets: Sequence[str]) -> dict[str, Frozen]:
    """The same by sheet, asked for all at once; a sheet for which none was kept is left out."""
    stands = ~exists().where(withdrawn.c.event == frozen_table.c.event)
    order = (stands.desc(), frozen_table.c.at.desc(), frozen_table.c.event.desc())
    best = func.row_number().over(partition_by=frozen_table.c.sheet, order_by=order).label("best")
    found: dict[str, Frozen] = {}
    for first in range(0, len(sheets), AT_ONCE):
        some = sheets[first : first + AT_ONCE]
        ranked = select(frozen_table, best).where(frozen_table.c.sheet.in_(some)).subquery()
        query = (
            select(ranked, recipe.c.name, recipe.c.version, recipe.c.body)
            .join(recipe, recipe.c.key == ranked.c.recipe)
            .where(ranked.c.best == 1)
        )
        for row in db.execute(query):
            found[row.sheet] = Frozen(
                sheet=row.sheet,
                name=row.name,
                version=row.version,
                body=row.body,
                plan=row.plan,
                at=row.at,
                who=tuple(row.who),
            )
    return found


def versions_of(db: Connection, name: str) -> list[tuple[int, Mapping[str, Any], datetime]]:
    """Every version of a recipe, oldest first: number, body, when it was first in force."""
    rows = db.execute(select(recipe).where(recipe.c.name == name).order_by(recipe.c.version))
    return [(row.version, row.body, row.at) for row in rows]


def steps_of(db: Connection, sheet: str) -> list[Step]:
    """What was done to a sheet, in order; what was taken back is left out."""
    query = select(step).where(step.c.sheet == sheet).order_by(step.c.at, step.c.event)
    return [
        Step(event=r.event, kind=r.kind, place=r.place, set_point=r.set_point_C, at=r.at, who=tuple(r.who))
        for r in db.execute(_standing(query, step))
    ]


def measurements_of(db: Connection, sheets: Sequence[str]) -> dict[str, list[Measurement]]:
    """Measurements by sheet, oldest first; what was taken back is left out."""
    query = select(measurement).where(measurement.c.sheet.in_(sheets)).order_by(measurement.c.at)
    rows = db.execute(_standing(query, measurement)).all()
    points: dict[str, dict[int, float]] = {}
    asked = select(thickness).where(thickness.c.event.in_([row.event for row in rows]))
    for point in db.execute(asked.order_by(thickness.c.event, thickness.c.point)):
        points.setdefault(point.event, {})[point.point] = point.mm
    found: dict[str, list[Measurement]] = {}
    for r in rows:
        one = Measurement(
            event=r.event,
            mass=r.mass_kg,
            length_mm=r.length_mm,
            width_mm=r.width_mm,
            bow_mm=r.bow_mm,
            bow_over_mm=r.bow_over_mm,
            grade=r.grade,
            face_up=r.face_up,
            front_edge=r.front_edge,
            points=points.get(r.event, {}),
            at=r.at,
            who=tuple(r.who),
        )
        found.setdefault(r.sheet, []).append(one)
    return found


def sheets_between(
    db: Connection,
    since: datetime | None = None,
    until: datetime | None = None,
    *,
    order: str | None = None,
    most: int = 500,
) -> list[SheetRow]:
    """The newest sheets of a time or an order, newest first, at most so many."""
    query = select(sheet_table).order_by(sheet_table.c.at.desc(), sheet_table.c.id).limit(most)
    if since is not None:
        query = query.where(sheet_table.c.at >= since)
    if until is not None:
        query = query.where(sheet_table.c.at < until)
    if order is not None:
        query = query.where(sheet_table.c.order_id == order)
    return [sheet_row(row) for row in db.execute(query)]


def sheet_row(row: Row[Any]) -> SheetRow:
    """A row of the table of sheets."""
    return SheetRow(
        id=row.id,
        order=row.order_id,
        plastic=row.plastic,
        colour=row.colour,
        thickness_mm=row.thickness_mm,
        at=row.at,
    )


def sheets_of_orders(db: Connection, orders: Sequence[str]) -> dict[str, list[str]]:
    """By order its sheets that something was weighed or loaded for, oldest first, whatever plan they were of."""
    found: dict[str, list[str]] = {}
    for first in range(0, len(orders), AT_ONCE):
        some = orders[first : first + AT_ONCE]
        query = select(sheet_table.c.id, sheet_table.c.order_id).where(sheet_table.c.order_id.in_(some))
        for row in db.execute(query.order_by(sheet_table.c.at, sheet_table.c.id)):
            found.setdefault(row.order_id, []).append(row.id)
    return found


def orders_of(db: Connection, sheets: Sequence[str]) -> dict[str, str]:
    """By sheet the order that it was pressed for, where one is on record."""
    found: dict[str, str] = {}
    for first in range(0, len(sheets), AT_ONCE):
        some = sheets[first : first + AT_ONCE]
        query = select(sheet_table.c.id, sheet_table.c.order_id).where(sheet_table.c.id.in_(some))
        found |= {r.id: r.order_id for r in db.execute(query) if r.order_id is not None}
    return found


def _standing(query: Select[Any], table: Table) -> Select[Any]:
    """Only rows whose event was not taken back."""
    return query.where(~exists().where(withdrawn.c.event == table.c.event))
