"""Events that nobody corrected, carried by the database itself into the tables that came with records of version 3.

A long history has hundreds of thousands of them: brought through Python one by one they would take minutes.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import sqlalchemy as sa

from flatstock.records.columns import Instant, Json

__all__ = ["EVENT", "carry", "touched_sheets"]

EVENT = sa.table(
    "event",
    *(sa.column(name) for name in ("seq", "id", "kind", "sheet", "place", "corrects")),
    sa.column("at", Instant),
    sa.column("noted_at", Instant),
    sa.column("who", Json),
    sa.column("facts", Json),
)
POINTS = 9


def touched_sheets() -> sa.Select[Any]:
    """Sheets of which something was corrected or taken back, as the question of another question."""
    one, by = EVENT.alias("one"), EVENT.alias("by")
    corrected = sa.select(by.c.corrects).where(by.c.corrects.is_not(None))
    touched = one.c.corrects.is_not(None) | one.c.id.in_(corrected)
    return sa.select(one.c.sheet).where(touched, one.c.sheet.is_not(None))


def carry(
    db: sa.Connection,
    *,
    steps: Iterable[str],
    numbers: Iterable[str],
    texts: Iterable[str],
) -> None:
    """Steps, measurements with their points, and which sheets there are; of every sheet that is not touched."""
    c = EVENT.c
    mine = c.sheet.is_not(None) & c.sheet.not_in(touched_sheets())
    said: list[Any] = [c.id, c.sheet, c.at, c.who]
    press = sa.func.coalesce(c.place, _text(db, "press"))
    _put(db, "step", ("event", "sheet", "at", "who", "kind", "place", "set_point_C"),
         [*said, c.kind, press, _number(db, "set_point_C")], mine & c.kind.in_(tuple(steps)))  # fmt: skip
    measured = mine & (c.kind == "measured")
    names, words = tuple(numbers), tuple(texts)
    _put(db, "measurement", ("event", "sheet", "at", "who", *names, *words),
         [*said, *(_number(db, one) for one in names), *(_text(db, one) for one in words)], measured)  # fmt: skip
    for point in range(1, POINTS + 1):
        thick = _number(db, f"t{point}_mm")
        _put(
            db,
            "thickness",
            ("event", "point", "mm"),
            [c.id, sa.literal(point), thick],
            measured & (thick > 0),
        )
    known = mine & c.kind.in_(("weighed", "loaded"))
    first = sa.select(sa.func.min(c.seq)).where(known).group_by(c.sheet)
    _put(db, "sheet", ("id", "event", "at"), [c.sheet, c.id, c.at], c.seq.in_(first))


def _put(
    db: sa.Connection, table: str, names: Iterable[str], values: Iterable[Any], where: sa.ColumnElement[bool]
) -> None:
    columns = list(names)
    into = sa.table(table, *(sa.column(name) for name in columns))
    db.execute(sa.insert(into).from_select(columns, sa.select(*values).where(where).order_by(EVENT.c.seq)))


def _number(db: sa.Connection, name: str) -> sa.ColumnElement[Any]:
    """A fact where it is a number, else nothing."""
    kinds = ("number", "integer", "real")
    return sa.case((_kind(db, name).in_(kinds), EVENT.c.facts[name].as_float()), else_=None)


def _text(db: sa.Connection, name: str) -> sa.ColumnElement[Any]:
    """A fact where it is a text, else nothing."""
    return sa.case((_kind(db, name).in_(("string", "text")), EVENT.c.facts[name].as_string()), else_=None)


def _kind(db: sa.Connection, name: str) -> sa.ColumnElement[Any]:
    """What a fact is, in the database's own word."""
    if db.dialect.name == "postgresql":
        return sa.func.json_typeof(EVENT.c.facts[name])
    return sa.func.json_type(EVENT.c.facts, f'$."{name}"')
