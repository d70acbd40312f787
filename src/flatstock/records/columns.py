"""Kinds of column that both databases keep alike."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, Dialect, Integer, String
from sqlalchemy.dialects.postgresql import TIMESTAMP
from sqlalchemy.types import TypeDecorator, TypeEngine

__all__ = ["Instant", "Json", "Sequence"]

#: a number that counts up by itself; SQLite counts for an INTEGER key alone
Sequence = BigInteger().with_variant(Integer(), "sqlite")

#: kept as text, so that a number comes back as it was written
Json = JSON(none_as_null=True)


class Instant(TypeDecorator[datetime]):
    """An instant: UTC, aware, to the microsecond.

    SQLite keeps it as text of one length ("2026-03-02T08:30:00.000000Z"), which sorts as time does and can be
    read without this program; PostgreSQL as a timestamp with time zone.
    """

    impl = String(27)
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """A timestamp where the database has one."""
        kind: TypeEngine[Any] = TIMESTAMP(timezone=True) if dialect.name == "postgresql" else String(27)
        return dialect.type_descriptor(kind)

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        """Refuses an instant without an offset: nobody could say when it was."""
        if value is None:
            return None
        if value.utcoffset() is None:
            raise ValueError(f"{value.isoformat()} has no offset from UTC")
        at = value.astimezone(UTC)
        return (
            at
            if dialect.name == "postgresql"
            else f"{at.replace(tzinfo=None).isoformat(timespec='microseconds')}Z"
        )

    def process_result_value(self, value: Any, _: Dialect) -> datetime | None:
        """In UTC, whatever the server's clock shows."""
        if value is None:
            return None
        return value.astimezone(UTC) if isinstance(value, datetime) else datetime.fromisoformat(value)
