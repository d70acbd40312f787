"""Copies of a workshop's records, and moving them from one database to another."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from flatstock.actions.living import DAYS
from flatstock.errors import Fault, Refused
from flatstock.records.address import FILE, URL_FILE, records_of

if TYPE_CHECKING:
    from flatstock.records import Store
    from flatstock.records.backup import Backup
    from flatstock.records.copying import Copied

__all__ = [
    "Restored", "back_up_records", "copy_if_due", "copy_records", "devices_after_restore", "plan_after_restore",
    "restore_records",
]  # fmt: skip

ACCESS = "access.json"  #: beside the records: which devices are let in, and by what secrets
PLAN = "plan.json"  #: beside them too: the week's plan
#: what stands beside the records and goes on with them; not who is let in
BESIDE = (PLAN, *DAYS, "room-found.json")


class Restored(NamedTuple):
    """What came of putting a copy back."""

    events: int  #: in it
    aside: Path | None  #: where the records that were there stand now; None: there were none
    written: list[Path]  #: files written
    moved: list[tuple[Path, Path]]  #: files put aside to make room: where each stood, and where it is now


def copy_if_due(store: Store, now: datetime) -> Backup | None:
    """Copy the records where the newest copy is an hour old; None where it is not yet, or where its server's own
    tools have to do it. Raises `Refused` where it can't be made."""
    from flatstock.records.backup import back_up, is_due

    folder = store.address.folder
    if folder is None or store.read_only or not is_due(folder, now):
        return None
    return back_up(store, now, _beside(folder))


def back_up_records(folder: Path, now: datetime) -> tuple[Backup, int]:
    """Copy the records of `folder` now; the copy, opened and found whole, and how many events it holds."""
    from flatstock.records import open_store
    from flatstock.records.backup import back_up, prove

    _must_have_records(folder)
    with open_store(folder) as store:
        made = back_up(store, now, _beside(folder))
    return made, prove(made.file)


def restore_records(copy: Path, folder: Path, now: datetime, *, put_aside: bool = False) -> Restored:
    """Put a copy in the place of a folder's records, with the plan that it holds, and write the workshop's files where
    the folder has none.

    A plan that stood there and says something else is put aside beside it; with `put_aside` so is each of the
    workshop's files that does, and of another workshop's folder its plan, its day and who is let in.

    Raises
    ------
    Refused
        It is no whole copy; the folder's records are in PostgreSQL, or open; it can't be written. Without `put_aside`
        also where the folder is another workshop's, or its files say something else. Nothing was done then.
    """
    from flatstock.actions.living import leave_files, put_back, write_files
    from flatstock.actions.restoring import made_room, must_go_together
    from flatstock.records.backup import beside_in, not_open, prove, restore
    from flatstock.workshop.written import FILES

    if copy.is_dir() and folder.is_file():
        raise Refused(Fault(str(copy), "it is a folder", f"the other way round: {folder} {copy}"))
    if not copy.is_file():
        raise Refused(Fault(str(copy), "there is no such file", f"name one of {folder / 'backups'}"))
    if (folder / URL_FILE).is_file():
        what = "this folder's records are in PostgreSQL, as records.url says"
        raise Refused(Fault(str(folder), what, "restore into another folder, then copy from there"))
    events = prove(copy)
    if not put_aside:
        must_go_together(copy, folder)
    not_open(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = f"it can't be made ({error.strerror or error})"
        raise Refused(Fault(str(folder), what, "name another folder")) from None
    moved = made_room(copy, folder, (*BESIDE, ACCESS)) if put_aside else []
    aside = restore(copy, folder, now)
    written = []
    if not any((folder / name).exists() for name in FILES if name not in DAYS):
        written = write_files(folder, folder, at=now)
    elif moved:
        written = [folder / name for name, _ in leave_files(folder, now=now)]
    for name, body in beside_in(copy).items():
        if name in BESIDE and put_back(folder / name, body):
            written.append(folder / name)
    return Restored(events, aside, written, moved)


def devices_after_restore(folder: Path) -> str:
    """What becomes of paired tablets and phones, in a sentence: a copy of the records lets nobody in."""
    if (folder / ACCESS).is_file():
        return f"Tablets and phones stay paired as {ACCESS} of this folder has them."
    return (
        "Tablets and phones pair again, each by a new code: who is let in is not in a copy of the records."
        f" To keep them, copy {ACCESS} of the old folder as well."
    )


def plan_after_restore(folder: Path, written: Sequence[Path]) -> str:
    """What becomes of the week's plan, in a sentence."""
    if folder / PLAN in written:
        return f"The week's plan is the one of the hour of the copy ({PLAN})."
    if (folder / PLAN).is_file():
        return (
            f"The week's plan is the one that this folder has ({PLAN}); plan again if it is not of that day."
        )
    return (
        "No week is planned here, as the copy has no plan: plan again; until then moulds that stand in a press or a"
        " stack have no clock: measure before opening."
    )


def _beside(folder: Path) -> dict[str, bytes]:
    """What goes into a copy beside the records; a file that can't be read keeps no copy from being made."""
    found = {}
    for name in BESIDE:
        with suppress(OSError):
            found[name] = (folder / name).read_bytes()
    return found


def copy_records(folder: Path, to: str) -> Copied:
    """Copy every row of the records of `folder` to another database, which has to be empty, and prove it there.

    Parameters
    ----------
    to
        A URL of PostgreSQL; or a folder, whose `records.db` is made.

    Raises
    ------
    Refused
        There are no records here, or some there; a database can't be reached; or what came out is not what went in.
        The other database is empty then as before.
    """
    from flatstock.records import open_store
    from flatstock.records.copying import copy_all

    _must_have_records(folder)
    if "://" not in to and not Path(to).is_dir():
        raise Refused(Fault(to, "there is no such folder", "name a folder, or postgresql://HOST/NAME"))
    with open_store(folder) as source:
        if "://" not in to and Path(to).resolve() == folder.resolve():
            if source.address.file is not None:
                raise Refused(Fault(to, "that is where they are", "name another folder, or a URL"))
            to = str(Path(to) / FILE)  # from the server back into the folder itself
        with open_store(to) as target:
            return copy_all(source, target)


def _must_have_records(folder: Path) -> None:
    if records_of(folder) is None:
        what = "it has no records yet" if folder.is_dir() else "there is no such folder"
        raise Refused(Fault(str(folder), what, "open the app on a workshop once: `flatstock open FOLDER`"))
