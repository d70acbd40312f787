"""Copies of records in SQLite: made while they are in use, proved by opening them, the old ones thinned out.

A copy is one file. What stands beside the records and is needed to go on, as the week's plan, goes into a table of the
copy alone, and out of it where the copy is put back.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Mapping
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from flatstock.errors import Fault, Refused
from flatstock.records.address import FILE
from flatstock.records.store import Store

__all__ = ["EVERY", "Backup", "back_up", "backups", "beside_in", "is_due", "not_open", "prove", "restore"]

FOLDER = "backups"
EVERY = timedelta(hours=1)
HOURLY = 24  #: the newest that are all kept
DAILY = 30  #: days of which the last one is kept
BRIEFLY = 1.0  #: s that a reader of a moment is waited for
PRIMARY = 0xFF  #: the part of an SQLite error's number that says which kind it is; the rest says more of it
BESIDE = "beside_the_records"  #: table of a copy: files by name
_NAME = "records-%Y%m%dT%H%M%SZ.db"


@dataclass(frozen=True, slots=True, order=True)
class Backup:
    """One copy."""

    at: datetime
    file: Path


def backups(folder: Path) -> list[Backup]:
    """The copies beside the records of a workshop's folder, oldest first."""
    found = []
    for file in (folder / FOLDER).glob("records-*.db"):
        try:
            found.append(Backup(datetime.strptime(file.name, _NAME).replace(tzinfo=UTC), file))
        except ValueError:  # somebody's own file
            continue
    return sorted(found)


def is_due(folder: Path, now: datetime) -> bool:
    """True an hour after the newest copy, and where there is none."""
    made = backups(folder)
    return not made or now - made[-1].at >= EVERY


def back_up(store: Store, now: datetime, beside: Mapping[str, bytes] | None = None) -> Backup:
    """Copy the records as they are now, with files that stand beside them, prove the copy, thin out the old ones.

    Raises
    ------
    Refused
        It can't be written, or doesn't prove whole (it is thrown away then); or these are records in PostgreSQL,
        which its own `pg_dump` copies.
    """
    folder = store.address.folder
    if folder is None:
        what = "records in PostgreSQL are copied by its own tools"
        raise Refused(Fault(store.shown, what, "run `pg_dump` against this database, every hour"))
    file = folder / FOLDER / now.astimezone(UTC).strftime(_NAME)
    half = file.with_suffix(".part")
    try:
        file.parent.mkdir(exist_ok=True)
        half.unlink(missing_ok=True)
        with store.reading() as db, closing(sqlite3.connect(half)) as copy:
            source = db.connection.driver_connection
            assert isinstance(source, sqlite3.Connection)
            source.backup(copy)
            _put_beside(copy, beside or {})
            copy.execute(
                "pragma journal_mode = delete"
            )  # one file, readable from a stick that can't be written
        prove(half)
        _to_disk(half)
        half.replace(file)
    except (OSError, sqlite3.Error) as error:
        _drop(half)
        what = f"the copy can't be made ({error}); the records themselves are whole"
        raise Refused(Fault(str(file), what, "make room, or make the folder writable")) from None
    except Refused:
        _drop(half)
        raise
    _thin_out(folder)
    return Backup(now.astimezone(UTC).replace(microsecond=0), file)


def prove(file: Path) -> int:
    """Open a copy and look whether it is whole; how many events it holds.

    Raises
    ------
    Refused
        It is no copy of records, or a damaged one.
    """
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as db:
            said = [row[0] for row in db.execute("pragma integrity_check")]
            loose = db.execute("pragma foreign_key_check").fetchall()
            events: int = db.execute("select count(*) from event").fetchone()[0]
    except sqlite3.Error as error:
        raise Refused(
            Fault(str(file), f"this is no whole copy of records ({error})", "take another")
        ) from None
    if said != ["ok"] or loose:
        raise Refused(Fault(str(file), "the copy is damaged", "take another"))
    return events


def beside_in(copy: Path) -> dict[str, bytes]:
    """The files that a proved copy holds beside the records; empty for one that was made before it held any."""
    with closing(sqlite3.connect(f"{copy.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as db:
        there = db.execute("select 1 from sqlite_master where name = ?", [BESIDE]).fetchone()
        return dict(db.execute(f"select name, body from {BESIDE}")) if there else {}


def restore(copy: Path, folder: Path, now: datetime) -> Path | None:
    """Put a proved copy in the place of a folder's records; where the ones that were there are now.

    They are put aside, never thrown away. What the copy holds beside the records is left to `beside_in`.

    Raises
    ------
    Refused
        The copy isn't whole, somebody has the folder's records open, or they can't be written.
    """
    prove(copy)
    not_open(folder)
    file, aside = folder / FILE, None
    half = folder / f"{FILE}.part"
    try:
        half.write_bytes(copy.read_bytes())
        with closing(sqlite3.connect(half)) as db:
            db.execute(f"drop table if exists {BESIDE}")
            db.commit()
        _to_disk(half)
        if file.exists():
            aside = folder / now.astimezone(UTC).strftime("records-put-aside-%Y%m%dT%H%M%SZ.db")
            for end in ("", "-wal", "-shm"):
                part = folder / f"{FILE}{end}"
                if part.exists():
                    part.replace(folder / f"{aside.name}{end}")
        half.replace(file)
    except (OSError, sqlite3.Error) as error:
        _drop(half)
        what = f"the copy can't be put back ({getattr(error, 'strerror', None) or error})"
        raise Refused(Fault(str(file), what, "make room, or make the folder writable")) from None
    return aside


def not_open(folder: Path) -> None:
    """Raises `Refused` where somebody has the folder's records open."""
    file = folder / FILE
    if file.exists() and _in_use(file):
        what = "these records are in use, as by the app: what it notes now would go into those put aside"
        raise Refused(Fault(str(file), what, "end the app with Ctrl-C, then restore again"))


def _in_use(file: Path) -> bool:
    """Whether another connection to records in SQLite is open; damaged ones, which a copy may replace, are in none."""
    try:
        with closing(sqlite3.connect(file, timeout=BRIEFLY)) as db:
            # in WAL it is had only where nobody else is connected
            db.execute("pragma locking_mode = exclusive")
            db.execute("begin exclusive")
    except sqlite3.DatabaseError as error:
        return error.sqlite_errorcode & PRIMARY == sqlite3.SQLITE_BUSY
    return False


def _put_beside(copy: sqlite3.Connection, beside: Mapping[str, bytes]) -> None:
    copy.execute(f"create table {BESIDE} (name text primary key, body blob not null)")
    copy.executemany(f"insert into {BESIDE} values (?, ?)", beside.items())
    copy.commit()


def _thin_out(folder: Path) -> None:
    made = backups(folder)[::-1]
    last_of_day: dict[object, Backup] = {}
    for one in made:
        last_of_day.setdefault(one.at.date(), one)
    kept = {*made[:HOURLY], *list(last_of_day.values())[:DAILY]}
    for one in made:
        if one not in kept:
            one.file.unlink(missing_ok=True)


def _drop(half: Path) -> None:
    """Where it can't be written it can't be taken away either."""
    with suppress(OSError):
        half.unlink(missing_ok=True)


def _to_disk(file: Path) -> None:
    with file.open("rb+") as opened:
        os.fsync(opened.fileno())
