"""Whether anything of a workshop has changed since somebody looked: numbers that only ever grow, read by index."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import Connection, func, select

from flatstock.records.tables.stock import kept_file, lot_status, stock_entry

__all__ = ["Mark", "mark"]


class Mark(NamedTuple):
    """What was newest when somebody looked."""

    files: int  #: how many versions of files there are
    statuses: int  #: number of the newest entry of the lots' statuses
    book: int  #: number of the newest entry of their book


def mark(db: Connection) -> Mark:
    """How many versions of files, and the newest entry of the lots' statuses and of their book."""
    newest = (select(func.max(table.c.seq)).scalar_subquery() for table in (lot_status, stock_entry))
    row = db.execute(select(select(func.count()).select_from(kept_file).scalar_subquery(), *newest)).one()
    return Mark(*(number or 0 for number in row))
