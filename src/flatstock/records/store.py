"""The records of one workshop, opened: transactions, and the events of the floor."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from flatstock.errors import Fault, NotNow, Refused
from flatstock.records import event_rows, events
from flatstock.records.address import Address, address_of
from flatstock.records.engine import WRITES, engine_of, take_turn
from flatstock.records.event_rows import Choice
from flatstock.records.failing import told
from flatstock.records.sheets import Recipe
from flatstock.records.upgrading import HEAD, at_version, upgrade
from flatstock.running.event import Event

__all__ = ["Store", "open_store"]


class Store:
    """Records that are open. Threads may share one; each action gets a connection and a transaction of its own."""

    def __init__(self, address: Address, engine: Engine, *, read_only: bool = False) -> None:
        self.address = address
        self.read_only = read_only  #: the folder can't be written; what is there can be read
        self._engine = engine
        self._one_writer = threading.Lock()

    @property
    def shown(self) -> str:
        """Where the records are, as a person may see it."""
        return self.address.shown

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection on which everything is seen as it was at the first question."""
        with told(self.shown), self._engine.connect() as db:
            if db.dialect.name == "postgresql":
                db = db.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
            with db.begin():
                yield db

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection whose writes are kept together at the end, or not at all when anything is raised.

        Raises
        ------
        Refused
            The disk is full, the folder can't be written, somebody else writes for too long, a rule of the records
            stands against it. Nothing of the action was kept then.
        """
        if self.read_only:
            what = "the folder can't be written, so nothing of this was kept"
            raise NotNow(Fault(self.shown, what, "make it writable, or copy it to where it is"))
        with told(self.shown), self._one_writer, self._engine.connect() as db:
            db = db.execution_options(**{WRITES: True})
            with db.begin():
                take_turn(db)
                yield db

    def append(self, happened: Iterable[Event], made_by: Mapping[str, Recipe] | None = None) -> list[int]:
        """Keep events, all or none; the number each stands under. Told again, an event keeps the one it has.

        `made_by`: by sheet, the recipe in force, which is frozen onto a sheet that is weighed or loaded.

        Raises
        ------
        Refused
            An event of the same id but with another content is on record, or one corrects what isn't; or see `writing`.
        """
        with self.writing() as db:
            return events.append(db, happened, made_by)

    def events(
        self,
        after: int = 0,
        *,
        since: datetime | None = None,
        sheet: str | None = None,
        kinds: Iterable[str] | None = None,
        correcting: str | None = None,
    ) -> Iterator[tuple[int, Event]]:
        """Events with a number above `after`, by number; see `records.event_rows.read` for the choices.

        Read in pieces, so that nothing waits for whoever takes its time with them.
        """
        only = None if kinds is None else tuple(kinds)
        chosen = Choice(since=since, sheet=sheet, kinds=only, correcting=correcting)
        for piece in self.pieces(after, chosen):
            yield from piece

    def pieces(self, after: int = 0, chosen: Choice | None = None) -> Iterator[list[tuple[int, Event]]]:
        """The same a piece at a time, so that more can be asked of a piece at once."""
        if chosen is not None and chosen.since is not None:
            with self.reading() as db:
                after = max(after, event_rows.first_since(db, chosen.since) - 1)
        while True:
            with self.reading() as db:
                piece = event_rows.read(db, after, chosen, most=events.PIECE)
            if piece:
                yield piece
            if len(piece) < events.PIECE:
                return
            after = piece[-1][0]

    def last(self) -> int:
        """The number of the newest event, 0 before the first."""
        with self.reading() as db:
            return event_rows.last(db)

    def close(self) -> None:
        """Give every connection back; the file is whole by itself then, without a -wal beside it."""
        self._engine.dispose()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def open_store(where: str | Path) -> Store:
    """The records in a workshop's folder, in a file of SQLite, or under a URL of PostgreSQL; made where there are none.

    Records of an earlier version are brought up to this one's tables. A folder that can't be written is opened for
    reading where its records are whole.

    Raises
    ------
    Refused
        They can't be opened, or were kept by a newer version; in one sentence what and what to do.
    """
    address = address_of(where)
    folder = address.folder
    if folder is not None and not folder.is_dir():
        raise Refused(Fault(str(folder), "there is no such folder", "name the folder of a workshop"))
    with told(address.shown):
        store = Store(address, engine_of(address))
        try:
            version = _version(store)
        except DBAPIError as error:
            store.close()
            store = _for_reading(address, error)
            version = _version(store)
    if version != HEAD:
        try:
            _bring_up(store)
        except BaseException:
            store.close()
            raise
    return store


def _bring_up(store: Store) -> None:
    if store.read_only:
        what = "it was kept by an earlier version and can't be brought up to date in this folder"
        raise Refused(Fault(store.shown, what, "make the folder writable"))
    with store.writing() as db:
        if at_version(db) != HEAD:  # else another process was first
            upgrade(db, shown=store.shown)


def _version(store: Store) -> str | None:
    with store._engine.connect() as db, db.begin():
        return at_version(db)


def _for_reading(address: Address, error: DBAPIError) -> Store:
    """A file in a folder that can't be written, read as it stands; not where a writer left something beside it."""
    said = str(error.orig)
    file = address.file
    if file is None or not file.is_file() or not ("readonly" in said or "unable to open" in said):
        raise error
    beside = file.with_name(f"{file.name}-wal")
    if beside.exists() and beside.stat().st_size:
        raise error
    return Store(address, engine_of(address, read_only=True), read_only=True)
