"""What happened on the floor; rows are only ever added."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Table, Text

from flatstock.records.columns import Instant, Json, Sequence
from flatstock.records.tables import metadata

__all__ = ["event"]

event = Table(
    "event",
    metadata,
    Column("seq", Sequence, primary_key=True, autoincrement=True),
    Column("id", Text, nullable=False, unique=True),
    Column("at", Instant, nullable=False),
    Column("noted_at", Instant, nullable=False),
    Column("kind", Text, nullable=False),
    Column("who", Json, nullable=False),
    Column("sheet", Text),
    Column("place", Text),
    Column("facts", Json, nullable=False),
    Column("corrects", Text, ForeignKey("event.id", deferrable=True, initially="DEFERRED")),
    Column("why", Text),
    Column("device", Text),
    Column("kept_at", Instant, nullable=False),  # when these records took it in
    Index(None, "at"),
    Index(None, "sheet", "seq"),
    Index(None, "kind", "seq"),
    Index(None, "corrects"),
    sqlite_autoincrement=True,
)
