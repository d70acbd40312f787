"""`flatstock records …`: the living form of a workshop, written out, taken in, copied, put back, moved, read out."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import App, Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder

__all__ = ["records"]

records = App(
    name="records",
    help="The records that the app keeps of a workshop: written out, taken in, copied, put back, moved, read out.",
)
Who = Annotated[str | None, Parameter(metavar="ID", help="Who says so, as in shop.toml.")]
Why = Annotated[str, Parameter(metavar="WORDS", help="Stands with the change in the records.")]


@records.command(name="state")
def state(folder: Folder, /) -> None:
    """What the records hold, where they are, when they were last copied, and files changed by hand since."""
    from flatstock.actions.record_state import state_of
    from flatstock.prints.text.records import state_text

    show.text(state_text(state_of(folder)))


@records.command(name="begin")
def begin(folder: Folder, /, *, who: Who = None) -> None:
    """Begin the records from the workshop's files, as opening the app does."""
    from flatstock.actions.living import begin_records

    taken = begin_records(folder, at=datetime.now(UTC), who=_who(who), why="records were begun")
    said = (
        f"Records begun from {', '.join(taken)}."
        if taken
        else "There are records already; nothing was changed."
    )
    show.text(said)


@records.command(name="write")
def write(
    folder: Folder,
    /,
    *,
    to: Annotated[
        Path | None, Parameter(metavar="DIR", help="Into this folder; else over the workshop's own files.")
    ] = None,
    who: Who = None,
) -> None:
    """Write the records out as the files that people read."""
    from flatstock.actions.living import write_files

    written = write_files(folder, to or folder, at=datetime.now(UTC), who=_who(who))
    show.text("Written:\n" + "\n".join(f"  {path}" for path in written))


@records.command(name="take")
def take(folder: Folder, /, *, who: Who = None, why: Why = "changed by hand in the files") -> None:
    """Take files that were changed by hand into the records, checked as a whole."""
    from flatstock.actions.living import take_files

    changed = take_files(folder, at=datetime.now(UTC), who=_who(who), why=why)
    show.text(f"Taken in: {', '.join(changed)}." if changed else "The files say what the records say.")


@records.command(name="leave")
def leave(folder: Folder, /) -> None:
    """Leave the records as they are: files changed by hand are put aside and written again as the records have them."""
    from flatstock.actions.living import leave_files

    left = leave_files(folder, now=datetime.now(UTC))
    if not left:
        show.text("The files say what the records say.")
    for file, aside in left:
        show.text(f"{file} is as the records have it" + (f"; what stood there is {aside}." if aside else "."))


@records.command(name="backup")
def backup(folder: Folder, /) -> None:
    """Copy the records now, into `backups` beside them, and open the copy to see whether it is whole."""
    from flatstock.actions.copies import back_up_records

    made, events = back_up_records(folder, datetime.now(UTC))
    show.text(f"{made.file}: whole, {events} event{'' if events == 1 else 's'}.")


@records.command(name="restore")
def restore(
    copy: Annotated[Path, Parameter(name="COPY", help="A copy, as in FOLDER/backups.")],
    folder: Annotated[
        Path, Parameter(name="FOLDER", help="Where to; may be new. The app must not be open on it.")
    ],
    /,
    *,
    put_aside: Annotated[
        bool,
        Parameter(
            help="Also where the folder is another workshop's or its files say something else: those are put aside.",
        ),
    ] = False,
) -> None:
    """Put a copy in the place of a folder's records; what stood there is put aside, never thrown away."""
    from flatstock.actions.copies import devices_after_restore, plan_after_restore, restore_records

    events, aside, written, moved = restore_records(copy, folder, datetime.now(UTC), put_aside=put_aside)
    show.text(f"{folder}: {events} event{'' if events == 1 else 's'} on record again.")
    if aside is not None:
        show.text(f"What stood there is {aside}.")
    for path, now in moved:
        show.text(f"What {path.name} said is {now}.")
    if written:
        show.text(f"Its files are written too: {', '.join(path.name for path in written)}.")
    show.text(plan_after_restore(folder, written))
    show.text(devices_after_restore(folder))


@records.command(name="copy")
def copy(
    folder: Folder,
    /,
    *,
    to: Annotated[
        str,
        Parameter(
            metavar="URL", help="postgresql://HOST/NAME, an empty database; or a folder without records."
        ),
    ],
) -> None:
    """Copy every row into another database, SQLite or PostgreSQL, and compare what came out with what went in."""
    from flatstock.actions.copies import copy_records

    copied = copy_records(folder, to)
    rows = sum(copied.rows.values())
    show.text(
        f"{copied.to}: {rows} rows, {copied.rows['event']} of them events; the same as here, row by row."
    )
    if "://" in to:
        show.text(f"To use them from this folder, write that URL into {folder / 'records.url'}.")


@records.command(name="events")
def events(
    folder: Folder,
    /,
    *,
    form: Annotated[
        Literal["lines", "csv"], Parameter(name="--as", help="lines: one JSON object a line; csv: a table.")
    ] = "lines",
    after: Annotated[int, Parameter(metavar="N", help="Only those with a greater number.")] = 0,
) -> None:
    """Read every event out, by number, for other programs."""
    from flatstock.actions.event_lines import event_lines

    for line in event_lines(folder, form, after=after):
        show.text(line)


def _who(said: str | None) -> list[str]:
    return [said] if said else []
