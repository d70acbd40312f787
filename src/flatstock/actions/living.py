"""The living form of a workshop: begun from its files, read by every command, written back into files."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from difflib import unified_diff
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from flatstock.errors import Fault, Refused
from flatstock.records.address import records_of
from flatstock.workshop.files import read
from flatstock.workshop.folder import not_written, write_bytes
from flatstock.workshop.spots import Notes
from flatstock.workshop.written import FILES, Folder, Texts, Written

if TYPE_CHECKING:
    from flatstock.records import Store
    from flatstock.records.changing import Mark
    from flatstock.records.files import Held
    from flatstock.workshop.shop import Workshop

__all__ = [
    "DAYS",
    "HandChange",
    "Living",
    "Meanwhile",
    "begin_records",
    "bytes_of",
    "difference",
    "find_living",
    "free_name",
    "hand_changes",
    "leave_files",
    "put_back",
    "put_texts",
    "records_of",
    "take_files",
    "write_files",
]

#: what is noted of a day is read as it stands in the folder, whichever form the workshop has
DAYS = ("done.csv", "done.toml", "changes.toml")


@dataclass(frozen=True, slots=True, order=True)
class HandChange:
    """A file of the folder that says something else than the records."""

    file: str
    how: Literal["changed", "new", "gone", "older"]  #: older: as the records once had it


class Meanwhile(Refused):
    """A file has changed since the change to it was begun; nothing was kept."""


class Living:
    """The living form of a folder, held open, to be asked at each page whether anything has changed."""

    def __init__(self, folder: Path) -> None:
        from flatstock.records import open_store

        self.store: Store = open_store(folder)

    def mark(self) -> Mark:
        """Numbers that change when a file, a lot's status or its book does."""
        from flatstock.records import changing

        with self.store.reading() as db:
            return changing.mark(db)

    def files(self) -> frozenset[str]:
        """The files that the workshop has by its records."""
        from flatstock.records import files

        with self.store.reading() as db:
            return frozenset(files.as_taken(db))

    def followed(self, shop: Workshop, seen: object) -> Workshop | None:
        """`shop`, read at the mark `seen`, with its lots as the book has them now; None: more has changed.

        What a lot holds decides no fault of the files, so that after a weighing the lists need not be read again.
        """
        from flatstock.records import changing, lots

        if not isinstance(seen, changing.Mark):
            return None
        with self.store.reading() as db:
            now = changing.mark(db)
            if (now.files, now.statuses) != (seen.files, seen.statuses):
                return None
            holds = lots.rebooked(db, seen.book)
        if not holds.keys() <= shop.lots.keys():
            return None
        changed = {name: replace(shop.lots[name], mass=mass) for name, mass in holds.items()}
        return replace(shop, lots={**shop.lots, **changed})

    def hand_changes(self, folder: Path) -> list[HandChange]:
        """As `hand_changes`, by the records that are open already."""
        return _changed_by_hand(folder, self.store)

    def close(self) -> None:
        """Give the records back."""
        self.store.close()


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
    """Take the files of `folder` into its records, unless that was done before; the files taken.

    From then on every command reads the records.

    Raises
    ------
    Refused
        With every fault of the files; or the folder can't be written. Nothing was begun then.
    """
    if records_of(folder) is None:
        _may_be_written(folder)
        read(folder, Folder(folder))  # no file of records is made beside files with faults
    from flatstock.records import files, open_store

    with open_store(folder) as store:
        with store.reading() as db:
            if files.as_taken(db):
                return []
        with store.writing() as db:
            if files.as_taken(db):  # another process was first
                return []
            return files.take_in(db, folder, Folder(folder), at=at, who=who, why=why)


def put_texts(
    folder: Path,
    texts: Mapping[str, str],
    *,
    was: Mapping[str, str],
    at: datetime,
    who: Sequence[str],
    why: str,
) -> None:
    """Put files of the living form in the place of what it has of them, in one transaction; the folder's follow.

    `was`: the same files as they stood when the change was begun ("" for one that is new). Where the folder's can't
    follow, it is on record all the same, and `hand_changes` tells that the file is behind.

    Raises
    ------
    Meanwhile
        One stands otherwise by now: a lot was weighed or held since, or somebody else wrote.
    Refused
        With every fault the workshop would have then. Nothing is kept.
    """
    from flatstock.records import files, open_store

    with open_store(folder) as store:
        held, by_hand = _held(store), {one.file for one in _changed_by_hand(folder, store)}
        with store.writing() as db:
            now = files.give_out(db)
            for name, text in was.items():
                if now.get(name, b"") != text.encode():
                    what = "it has changed meanwhile: a lot was weighed or held, or somebody else wrote"
                    raise Meanwhile(Fault(name, what, "look at it again"))
            new = now | {name: text.encode() for name, text in texts.items()}
            files.take_in(db, folder, Texts(new), at=at, who=who, why=why, base=now, held=held)
    for name, data in new.items():
        # what the book has moved on from since was taken in anew with the rest; what somebody changed stays asked about
        along = name not in by_hand and name not in DAYS and (folder / name).exists()
        if name in texts or (along and bytes_of(folder / name) != data):
            with suppress(Refused):
                _follow(folder / name, data)


def hand_changes(folder: Path) -> list[HandChange]:
    """Files of the folder that say something else than its records, and that no command reads just now."""
    if records_of(folder) is None:
        return []
    from flatstock.records import open_store

    with open_store(folder) as store:
        return _changed_by_hand(folder, store)


def _changed_by_hand(folder: Path, store: Store) -> list[HandChange]:
    from flatstock.records import files

    found: list[HandChange] = []
    with store.reading() as db:
        taken = files.as_taken(db)
        if not taken or not any((folder / name).exists() for name in taken):
            return []  # a floor alone, or records that were copied without their files
        other = {name: data for name in FILES if (data := bytes_of(folder / name)) != taken.get(name)}
        now = files.give_out(db) if other else {}  # a long list of lots takes its time to write
        for name, data in other.items():
            if name in DAYS or data == now.get(name):
                continue
            if data is None:
                found.append(HandChange(name, "gone"))
            elif files.earlier(db, name, data):
                found.append(HandChange(name, "older"))
            else:
                found.append(HandChange(name, "changed" if name in taken else "new"))
    return found


def difference(folder: Path, file: str, *, most: int = 60) -> list[str]:
    """Lines of a file in which the folder and its records differ: "-" as the records have it, "+" as the folder does.

    At most so many, the first ones.
    """
    from flatstock.records import files, open_store

    _must_have_records(folder)
    with open_store(folder) as store, store.reading() as db:
        kept = files.give_out(db).get(file, b"")
    old, new = (
        data.decode("utf-8-sig", "replace").splitlines() for data in (kept, bytes_of(folder / file) or b"")
    )
    lines = [
        one for one in unified_diff(old, new, n=0, lineterm="") if not one.startswith(("---", "+++", "@@"))
    ]
    return lines[:most]


def take_files(folder: Path, *, at: datetime, who: Sequence[str], why: str) -> list[str]:
    """Take the folder's files as they stand now into its records; those that said something new.

    Raises `Refused` with every fault, the missing tests of a lot that they release among them; the records stay as they
    were then.
    """
    from flatstock.records import files, open_store

    _must_have_records(folder)
    with open_store(folder) as store:
        held = _held(store)
        with store.writing() as db:
            changed = files.take_in(db, folder, Folder(folder), at=at, who=who, why=why, held=held)
            files.settle(db, at=at, who=who, why=why)
            now = files.give_out(db)
    _bring_along(folder, now)
    return changed


def leave_files(folder: Path, *, now: datetime) -> list[tuple[str, Path | None]]:
    """Leave the records as they are: what stands otherwise in the folder is put aside, the records' form written.

    Each file with where its former text stands now; None where there was none.
    """
    from flatstock.records import files, open_store

    changes = hand_changes(folder)
    with open_store(folder) as store, store.writing() as db:
        why = "written over files changed by hand, which were put aside"
        files.settle(db, at=now, who=[], why=why)
        texts = files.give_out(db)
    left: list[tuple[str, Path | None]] = []
    for one in changes:
        path, aside = folder / one.file, None
        try:
            if path.exists():
                aside = free_name(folder / f"{one.file}.put-aside")
                path.replace(aside)
        except OSError as error:
            raise not_written(path, error) from None
        if one.file in texts:
            write_bytes(path, texts[one.file])
        left.append((one.file, aside))
    _bring_along(folder, texts)
    return left


def write_files(folder: Path, into: Path, *, at: datetime, who: Sequence[str] = ()) -> list[Path]:
    """Write the records of `folder` as files into another folder, or over its own; the files written.

    Raises
    ------
    Refused
        There are no records; a file of the other folder says something else; it can't be written.
    """
    from flatstock.records import files, open_store

    _must_have_records(folder)
    own = into.resolve() == folder.resolve()
    if own and (changed := hand_changes(folder)):
        what = f"{changed[0].file} was changed by hand since it was taken in"
        raise Refused(Fault(str(into), what, "take it in, or leave it: `flatstock records take --help`"))
    with open_store(folder) as store:
        if own:
            with store.writing() as db:
                files.settle(db, at=at, who=who, why="written out")
        with store.reading() as db:
            texts = {name: data for name, data in files.give_out(db).items() if name not in DAYS}
    texts |= {} if own else {name: data for name in DAYS if (data := bytes_of(folder / name)) is not None}
    if not own:
        other = [name for name, data in texts.items() if bytes_of(into / name) not in (None, data)]
        if other:
            what = f"{other[0]} stands there already and says something else"
            raise Refused(Fault(str(into), what, "name a new or an empty folder"))
    try:
        into.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise not_written(into, error) from None
    for name, data in texts.items():
        write_bytes(into / name, data)
    return [into / name for name in texts]


def put_back(path: Path, data: bytes) -> bool:
    """Write a file as a copy has it, and put aside what stood there; false where it stands so already."""
    try:
        if path.exists():
            if path.read_bytes() == data:
                return False
            path.replace(free_name(path.with_name(f"{path.name}.put-aside")))
    except OSError as error:
        raise not_written(path, error) from None
    write_bytes(path, data)
    return True


def _held(store: Store) -> Held:
    """What keeps a lot from being released by a file: the same tests as by any other door."""
    from flatstock.actions.lot_tests import not_by_file

    return lambda lot, before: not_by_file(store, lot, before)


def _must_have_records(folder: Path) -> None:
    if records_of(folder) is None:
        raise Refused(Fault(str(folder), "it has no records", "its files are all there is"))


def _may_be_written(folder: Path) -> None:
    if not os.access(folder, os.W_OK):
        what = "the folder can't be written, so nothing can be noted in it"
        raise Refused(Fault(str(folder), what, "make it writable, or copy it to where it is"))


def bytes_of(path: Path) -> bytes | None:
    """What a file holds; None where there is none, or it can't be read."""
    return Folder(path.parent).read(path.name, Notes()) if path.is_file() else None


def _bring_along(folder: Path, texts: Mapping[str, bytes]) -> None:
    """Files of the folder that the records have moved on from since."""
    for name, data in texts.items():
        if name not in DAYS and bytes_of(folder / name) != data:
            _follow(folder / name, data)


def _follow(path: Path, data: bytes) -> None:
    """The folder's file after its records; what stood there stays beside it as `FILE.before`."""
    try:
        if path.exists():
            shutil.copy2(path, path.with_name(f"{path.name}.before"))
    except OSError as error:
        raise not_written(path, error) from None
    write_bytes(path, data)


def free_name(path: Path) -> Path:
    """The name, or with a number after it where something is called so."""
    number = 2
    found = path
    while found.exists():
        found, number = path.with_name(f"{path.name}-{number}"), number + 1
    return found
