"""The living form of a workshop: begun from its files, read by every command, written back into files."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from flatstock.errors import Fault, Refused
from flatstock.records.address import records_of
from flatstock.workshop.written import Folder, Written

__all__ = ["begin_records", "changed_by_hand", "find_living", "write_files"]


def find_living(folder: Path) -> Written | None:
    """The workshop as its records have it; None where it has none, or they keep a floor's events alone.

    The database library is imported only where there are records.
    """
    if records_of(folder) is None:
        return None
    from flatstock.records import files, open_store

    with open_store(folder) as store, store.reading() as db:
        return files.as_written(db)


def begin_records(folder: Path, *, at: datetime, who: Sequence[str], why: str) -> list[str]:
    """Take the files of `folder` into its records, which are begun where there are none; what was new.

    From then on every command reads the records. Raises `Refused` with every fault of the files.
    """
    from flatstock.records import files, open_store

    with open_store(folder) as store, store.writing() as db:
        return files.take_in(db, folder, Folder(folder), at=at, who=who, why=why)


def changed_by_hand(folder: Path) -> list[str]:
    """Files in the folder that say something else than was taken from them, and that nobody reads just now."""
    if records_of(folder) is None:
        return []
    from flatstock.records import files, open_store

    with open_store(folder) as store, store.reading() as db:
        taken, now = files.as_taken(db), files.give_out(db)
    found = []
    for name in taken:
        file = folder / name
        if file.is_file() and file.read_bytes() not in (taken[name], now[name]):
            found.append(name)
    return found


def write_files(folder: Path, into: Path) -> list[Path]:
    """Write the records of `folder` as files into another folder, or over its own; the files written."""
    from flatstock.records import files, open_store

    if records_of(folder) is None:
        raise Refused(Fault(str(folder), "it has no records", "its files are all there is"))
    with open_store(folder) as store, store.reading() as db:
        texts = files.give_out(db)
    written = []
    try:
        into.mkdir(exist_ok=True)
        for name, data in texts.items():
            half = into / f"{name}.part"
            half.write_bytes(data)
            written.append(half.replace(into / name))
    except OSError as error:
        what = f"it can't be written ({error.strerror or error})"
        raise Refused(Fault(str(into), what, "make room, or name another folder")) from None
    return written
