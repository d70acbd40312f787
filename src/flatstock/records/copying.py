"""Every row of one database of records into another one that is empty, of the same kind or not, and back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from sqlalchemy import Connection, Table, func, insert, select, text

from flatstock.errors import Fault, Refused
from flatstock.records.store import Store
from flatstock.records.tables.all import metadata

__all__ = ["Copied", "copy_all"]

PIECE = 1000  #: rows that are written at once


@dataclass(frozen=True, slots=True)
class Copied:
    """What was copied."""

    to: str  #: as a person may see it
    rows: dict[str, int]  #: by table


def copy_all(source: Store, target: Store) -> Copied:
    """Copy and compare, row by row, in one transaction of each side.

    The rules of the tables rest while rows go in that have been through them once, and hold again afterwards; foreign
    keys and other constraints hold throughout. Numbers go on counting from the greatest one that was copied.

    Raises
    ------
    Refused
        `target` holds something; or a row came out otherwise than it went in. It is empty then as before.
    """
    with source.reading() as old, target.writing() as new:
        if any(_count(new, table) for table in metadata.sorted_tables):
            what = "there are records in it already"
            raise Refused(Fault(target.shown, what, "name an empty database or folder"))
        with _rules_rest(new):
            rows = {table.name: _copy(old, new, table) for table in metadata.sorted_tables}
        if new.dialect.name == "postgresql":
            _count_on(new)
        for table in metadata.sorted_tables:
            _compare(old, new, table, target.shown)
    return Copied(target.shown, rows)


def _copy(old: Connection, new: Connection, table: Table) -> int:
    done = 0
    for piece in _rows(old, table):
        new.execute(insert(table), piece)
        done += len(piece)
    return done


def _rows(db: Connection, table: Table) -> Iterator[list[dict[str, Any]]]:
    query = select(table).order_by(*table.primary_key.columns)
    found = db.execution_options(yield_per=PIECE).execute(query)
    for piece in found.mappings().partitions(PIECE):
        yield [dict(row) for row in piece]


def _compare(old: Connection, new: Connection, table: Table, shown: str) -> None:
    for one, other in zip_longest(_rows(old, table), _rows(new, table)):
        if one != other:
            what = f"rows of {table.name} came out otherwise than they went in; nothing was kept"
            raise Refused(Fault(shown, what, "pass this on"))


def _count(db: Connection, table: Table) -> int:
    return db.execute(select(func.count()).select_from(table)).scalar() or 0


@contextmanager
def _rules_rest(db: Connection) -> Iterator[None]:
    """Triggers are off inside, in this transaction alone."""
    if db.dialect.name == "postgresql":
        tables = [table.name for table in metadata.sorted_tables]
        for name in tables:
            db.execute(text(f"alter table {name} disable trigger user"))
        yield
        # what is deferred is checked first: a table with checks to come can't be altered
        db.execute(text("set constraints all immediate"))
        for name in tables:
            db.execute(text(f"alter table {name} enable trigger user"))
        return
    rules = db.execute(text("select name, sql from sqlite_master where type = 'trigger'")).all()
    for rule in rules:
        db.execute(text(f"drop trigger {rule.name}"))
    yield
    for rule in rules:
        db.exec_driver_sql(rule.sql)


def _count_on(db: Connection) -> None:
    """PostgreSQL's counters stand where the copied numbers end."""
    for table in metadata.sorted_tables:
        for column in table.primary_key.columns:
            if column.autoincrement is True:
                most = db.execute(select(func.max(column))).scalar()
                if most is not None:
                    counter = f"pg_get_serial_sequence('{table.name}', '{column.name}')"
                    db.execute(text(f"select setval({counter}, :most)"), {"most": most})
