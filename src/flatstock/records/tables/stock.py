"""The written form as it was taken in, lots with their states and book stock, and what went into what."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Float, ForeignKey, Index, Integer, LargeBinary, Table, Text

from flatstock.records.columns import Instant, Json, Sequence
from flatstock.records.tables import metadata

__all__ = ["kept_file", "lot", "lot_status", "passage", "stock_entry", "weighing", "withdrawn"]

#: versions of the workshop's files; the newest counts, and one without a body is gone
kept_file = Table(
    "kept_file",
    metadata,
    Column("name", Text, primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("body", LargeBinary),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Column("why", Text, nullable=False),
)

#: one row a lot: what is asked of it again and again; the rest stands in its line of the written form
lot = Table(
    "lot",
    metadata,
    Column("id", Text, primary_key=True),
    Column("plastic", Text, nullable=False),
    Column("colour", Text),
    Column("origin", Text, nullable=False),
    Column("status", Text, nullable=False),
    Column("mass_kg", Float, nullable=False),
    CheckConstraint("mass_kg >= 0", "no_less_than_nothing"),
)

lot_status = Table(
    "lot_status",
    metadata,
    Column("seq", Sequence, primary_key=True, autoincrement=True),
    Column("lot", Text, ForeignKey("lot.id"), nullable=False),
    Column("status", Text, nullable=False),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Column("why", Text, nullable=False),
    Column("event", Text, ForeignKey("event.id")),
    CheckConstraint("status in ('received', 'quarantine', 'released', 'blocked', 'empty')", "known"),
    CheckConstraint("trim(why) <> ''", "reason"),
    Index(None, "lot", "seq"),
    Index(None, "event"),
    sqlite_autoincrement=True,
)

#: the book: what changed a lot's mass
stock_entry = Table(
    "stock_entry",
    metadata,
    Column("seq", Sequence, primary_key=True, autoincrement=True),
    Column("lot", Text, ForeignKey("lot.id"), nullable=False),
    Column("kind", Text, nullable=False),
    Column("change_kg", Float, nullable=False),
    Column("counted_kg", Float),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Column("why", Text),
    Column("event", Text, ForeignKey("event.id")),
    CheckConstraint("kind in ('written', 'weighed', 'given_back', 'counted', 'more_than_booked')", "known"),
    Index(None, "lot", "seq"),
    Index(None, "event"),
    sqlite_autoincrement=True,
)

weighing = Table(
    "weighing",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("sheet", Text, nullable=False),
    Column("lot", Text, ForeignKey("lot.id"), nullable=False),
    Column("target_kg", Float),
    Column("actual_kg", Float, nullable=False),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Column(
        "replaces", Text
    ),  # the event of the weighing that it puts right, of the same lot for the same sheet
    CheckConstraint("actual_kg > 0", "something"),
    Index(None, "sheet"),
    Index(None, "lot"),
)

#: what went into what: lot to sheet, sheet or lot to lot (regrind), sheet to offcut, part or order
passage = Table(
    "passage",
    metadata,
    Column("seq", Sequence, primary_key=True, autoincrement=True),
    Column("from_kind", Text, nullable=False),
    Column("from_id", Text, nullable=False),
    Column("to_kind", Text, nullable=False),
    Column("to_id", Text, nullable=False),
    Column("mass_kg", Float),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Column("why", Text),
    Column("event", Text, ForeignKey("event.id")),
    Column("withdraws", Sequence, ForeignKey("passage.seq")),
    CheckConstraint("from_kind in ('lot', 'sheet', 'offcut', 'part')", "from"),
    CheckConstraint("to_kind in ('lot', 'sheet', 'offcut', 'part', 'order')", "to"),
    Index(None, "from_kind", "from_id"),
    Index(None, "to_kind", "to_id"),
    Index(None, "event"),
    Index(None, "withdraws"),
    sqlite_autoincrement=True,
)

#: events that no longer count, and the event that took them back
withdrawn = Table(
    "withdrawn",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("by_event", Text, ForeignKey("event.id"), nullable=False),
)
