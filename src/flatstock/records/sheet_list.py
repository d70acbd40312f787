"""Sheets on record as a list: a page of them, and how far each has come."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import ColumnElement, Connection, exists, func, or_, select

from flatstock.records.sheets import SheetRow, sheet_row
from flatstock.records.tables.sheets import sheet, step
from flatstock.records.tables.stock import withdrawn

__all__ = ["count_sheets", "list_sheets", "steps_of_sheets"]


def count_sheets(db: Connection, words: Sequence[str]) -> int:
    """How many sheets hold every one of `words` in their id, order, plastic or colour, in small or large letters."""
    return int(db.execute(select(func.count()).select_from(sheet).where(*_holding(db, words))).scalar_one())


def list_sheets(db: Connection, words: Sequence[str], *, first: int, most: int) -> list[SheetRow]:
    """Those sheets, the newest first: from number `first`, counted from 0, at most so many."""
    query = select(sheet).where(*_holding(db, words)).order_by(sheet.c.at.desc(), sheet.c.id.desc())
    return [sheet_row(row) for row in db.execute(query.offset(first).limit(most))]


def steps_of_sheets(db: Connection, sheets: Sequence[str]) -> dict[str, set[str]]:
    """By sheet the kinds of what was done to it; what was taken back is left out."""
    query = select(step.c.sheet, step.c.kind).where(step.c.sheet.in_(sheets))
    found: dict[str, set[str]] = {one: set() for one in sheets}
    for row in db.execute(query.where(~exists().where(withdrawn.c.event == step.c.event))):
        found[row.sheet].add(row.kind)
    return found


def _holding(db: Connection, words: Sequence[str]) -> list[ColumnElement[bool]]:
    columns = (sheet.c.id, sheet.c.order_id, sheet.c.plastic, sheet.c.colour)
    # every sheet is looked at: SQLite's LIKE takes small and large letters for one by itself (of ASCII, as its lower()
    # does), in a third of the time that it takes with lower() around both
    alike = "contains" if db.dialect.name == "sqlite" else "icontains"
    return [or_(*(getattr(one, alike)(word, autoescape=True) for one in columns)) for word in words]
