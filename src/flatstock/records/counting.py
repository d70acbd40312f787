"""How many rows each table holds."""

from __future__ import annotations

from sqlalchemy import Connection, func, select

from flatstock.records.tables.all import metadata

__all__ = ["counts"]


def counts(db: Connection) -> dict[str, int]:
    """By table, in the order in which one refers to another."""
    return {
        table.name: db.execute(select(func.count()).select_from(table)).scalar() or 0
        for table in metadata.sorted_tables
    }
