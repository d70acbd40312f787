"""One engine for an address: how SQLite and PostgreSQL are opened, and how one writer at a time is kept."""

from __future__ import annotations

from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, text

from flatstock.records.address import Address

__all__ = ["WRITES", "engine_of", "take_turn"]

WRITES = "flatstock_writes"  #: execution option of a connection that is going to write
BUSY = 20.0  #: seconds that a writer waits for another
_TURN = 0x666C6174  #: any number will do, as long as all writers wait at the same one


def engine_of(address: Address, *, read_only: bool = False) -> Engine:
    """An engine; nothing is opened yet. `read_only` for a file in a folder that can't be written."""
    return _sqlite(address, read_only) if address.file is not None else _postgresql(address)


def take_turn(db: Connection) -> None:
    """Wait until no other writer is at work; the turn ends with the transaction.

    SQLite has one writer by BEGIN IMMEDIATE. With a lock PostgreSQL has too, so that the numbers of events run
    in the order in which they are seen: who has read up to one never misses a smaller one.
    """
    if db.dialect.name == "postgresql":
        db.execute(text("select pg_advisory_xact_lock(:turn, hashtext(current_schema()))"), {"turn": _TURN})


def _sqlite(address: Address, read_only: bool) -> Engine:
    assert address.file is not None
    # a URI's path may hold what people put in a folder's name
    from urllib.parse import quote

    how = {"mode": "ro", "immutable": "1"} if read_only else {"mode": "rwc"}
    # from its parts: a URL in one piece would be unquoted once more on the way
    url = URL.create("sqlite", database=f"file:{quote(str(address.file))}", query=how | {"uri": "true"})
    engine = create_engine(url, connect_args={"timeout": BUSY})

    @event.listens_for(engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # this module says BEGIN itself
        for pragma in ("foreign_keys = on", "recursive_triggers = on", "synchronous = full"):
            connection.execute(f"pragma {pragma}")
        if not read_only:
            connection.execute("pragma journal_mode = wal")

    @event.listens_for(engine, "begin")
    def _(db: Connection) -> None:
        db.exec_driver_sql("begin immediate" if db.get_execution_options().get(WRITES) else "begin")

    return engine


def _postgresql(address: Address) -> Engine:
    engine = create_engine(address.url, pool_pre_ping=True, connect_args={"connect_timeout": 10})

    @event.listens_for(engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        with connection.cursor() as cursor:
            cursor.execute(f"set lock_timeout = '{BUSY:.0f}s'")
            cursor.execute("set time zone 'UTC'")
        connection.commit()

    return engine
