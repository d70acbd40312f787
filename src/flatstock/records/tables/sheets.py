"""Sheets: what they were to be made by, what was done to them, what was found; and the checks of a day.

Each row follows from an event and stays; a row whose event is in `withdrawn` no longer counts.
"""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    Table,
    Text,
    UniqueConstraint,
)

from flatstock.records.columns import Instant, Json
from flatstock.records.tables import metadata

__all__ = [
    "fault",
    "frozen",
    "measurement",
    "photo",
    "recipe",
    "safety_check",
    "sheet",
    "signature",
    "step",
    "thickness",
]

#: how a sheet is to be made; another text is another version of the name's recipe
recipe = Table(
    "recipe",
    metadata,
    Column("key", Text, primary_key=True),  # SHA-256 of name and body, so that the same recipe is kept once
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("body", Json, nullable=False),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    UniqueConstraint("name", "version"),
)

#: a sheet, once something of it was weighed or loaded
sheet = Table(
    "sheet",
    metadata,
    Column("id", Text, primary_key=True),
    Column("order_id", Text),
    Column("plastic", Text),
    Column("colour", Text),
    Column("thickness_mm", Float),
    Column("event", Text, ForeignKey("event.id"), nullable=False),
    Column("at", Instant, nullable=False),
    Index(None, "order_id"),
    Index(None, "at"),
)

#: the recipe that was in force when a sheet was weighed, and again when it was loaded
frozen = Table(
    "frozen",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("sheet", Text, ForeignKey("sheet.id"), nullable=False),
    Column("recipe", Text, ForeignKey("recipe.key"), nullable=False),
    Column("plan", Text),  # when the plan that said so was made
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Index(None, "sheet", "at"),
    Index(None, "recipe"),
)

#: a sheet's way through the shop
step = Table(
    "step",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("sheet", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("place", Text),
    Column("set_point_C", Float),  # as told when it was loaded
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    CheckConstraint(
        "kind in ('prepared', 'loaded', 'breathed', 'transferred', 'moved', 'demoulded', 'trimmed', 'scrapped')",
        "known",
    ),
    Index(None, "sheet", "at"),
    Index(None, "kind", "at"),
)

measurement = Table(
    "measurement",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("sheet", Text, nullable=False),
    Column("mass_kg", Float),
    Column("length_mm", Float),
    Column("width_mm", Float),
    Column("bow_mm", Float),
    Column("bow_over_mm", Float),
    Column("grade", Text),
    Column("face_up", Text),
    Column("front_edge", Text),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Index(None, "sheet", "at"),
    Index(None, "at"),
)

#: the nine points of a measurement
thickness = Table(
    "thickness",
    metadata,
    Column("event", Text, ForeignKey("measurement.event"), primary_key=True),
    Column("point", Integer, primary_key=True),
    Column("mm", Float, nullable=False),
    CheckConstraint("point between 1 and 9", "known"),
    CheckConstraint("mm > 0", "something"),
)

#: something wrong with a sheet, seen by somebody
fault = Table(
    "fault",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("sheet", Text, nullable=False),
    Column("fault", Text, nullable=False),
    Column("spot", Text),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Index(None, "sheet", "at"),
    Index(None, "fault", "at"),
)

photo = Table(
    "photo",
    metadata,
    Column("key", Text, primary_key=True),  # SHA-256 of the bytes
    Column("type", Text, nullable=False),
    Column("bytes", LargeBinary, nullable=False),
    Column("at", Instant, nullable=False),
    CheckConstraint("type in ('image/jpeg', 'image/png', 'image/webp')", "known"),
)

#: the lines of a check gone through
safety_check = Table(
    "safety_check",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("list", Text, nullable=False),
    Column("at", Instant, nullable=False),
    Column("who", Json, nullable=False),
    Index(None, "list", "at"),
)

#: who signed a hand-over
signature = Table(
    "signature",
    metadata,
    Column("event", Text, ForeignKey("event.id"), primary_key=True),
    Column("person", Text, primary_key=True),
    Column("at", Instant, nullable=False),
    Index(None, "person", "at"),
)
