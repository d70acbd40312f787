"""Whether anything of a workshop has changed since somebody looked: numbers that only ever grow, read by index."""

from __future__ import annotations

from sqlalchemy import Connection, func, select

from flatstock.records.tables.stock import kept_file, lot_status, stock_entry

__all__ = ["mark"]


def mark(db: Connection) -> tuple[int, ...]:
    """How many versions of files, and the newest entry of the lots' statuses and of their book."""
    newest = (func.max(table.c.seq) for table in (lot_status, stock_entry))
    queries = (select(func.count()).select_from(kept_file), *(select(one) for one in newest))
    return tuple(db.execute(query).scalar() or 0 for query in queries)
