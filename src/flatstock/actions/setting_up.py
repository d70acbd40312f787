"""Change what is on file, a block or a row at a time, with the checks that the files have."""

from __future__ import annotations

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from flatstock.actions.living import Meanwhile, put_texts
from flatstock.actions.workshops import faults_of_room
from flatstock.errors import Fault, Refused
from flatstock.workshop import files
from flatstock.workshop.csv_lines import rows_in, with_row, without_row
from flatstock.workshop.fields import Field, Table
from flatstock.workshop.folder import not_written, write_file
from flatstock.workshop.layouts import layout
from flatstock.workshop.literals import literal_of, text_of
from flatstock.workshop.spots import Notes
from flatstock.workshop.toml_blocks import added, blocks_of, changed, removed
from flatstock.workshop.written import FILES, written_in

__all__ = ["Entry", "Sheaf", "change", "put", "sheaf_of", "table_for", "take_away", "text_of_file"]

NAMES = ("shop", "plastics", "lots", "orders", "offcuts", "supply", "room", "outlay")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One block or row of a file."""

    at: int  #: number of the block, or index of the row's line
    of: str  #: "frames"; "" for what stands before the first heading
    title: str
    values: Mapping[str, str]  #: as a form shows them


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheaf:
    """A file as forms show it."""

    name: str  #: "shop"
    file: str  #: "shop.toml", "lots.csv"
    about: str
    listed: bool  #: rows of a list
    entries: tuple[Entry, ...]
    may_add: tuple[tuple[str, str], ...]  #: name of a table, and what one is in words


def sheaf_of(folder: Path, name: str) -> Sheaf:
    """One file of a workshop. Raises `Refused` where there is none, or it can't be read as text."""
    file, text = text_of_file(folder, name)
    known = layout(name)
    if file.endswith(".csv"):
        fields = known.table.by_name
        entries = tuple(
            Entry(
                at=at,
                of="",
                title=row.get("id") or f"line {at + 1}",
                values={k: v for k, v in row.items() if k in fields},
            )
            for at, row in rows_in(text)[1]
        )
        adding: tuple[tuple[str, str], ...] = (("", known.table.name),)
        return Sheaf(name=name, file=file, about=known.about, listed=True, entries=entries, may_add=adding)
    entries = tuple(
        Entry(
            at=n,
            of=block.name,
            title=_title(block.name, {key: spot.literal for key, spot in block.spots.items()}),
            values={
                key: text_of(spot.literal, _field(name, block.name, key)) for key, spot in block.spots.items()
            },
        )
        for n, block in enumerate(blocks_of(text))
        if table_for(name, block.name) is not None
    )
    return Sheaf(
        name=name,
        file=file,
        about=known.about,
        listed=False,
        entries=entries,
        may_add=_may_add(name, entries),
    )


def table_for(name: str, of: str) -> Table | None:
    """What a block may hold: the layout's table under its dotted name; None: not a block that a form knows."""
    known = layout(name)
    table: Table | None = known.table
    if known.rows and of == known.rows:
        return table
    if name == "plastics" and of:
        inner = known.table.by_name["plastics"].table
        return inner if "." not in of else None
    for part in of.split(".") if of else ():
        field = table.by_name.get(part) if table is not None else None
        if field is None or field.table is None:
            return table if field is None and _is_named(name, of) else None
        table = field.table
    return table


WHY = "set up on the pages"
TRIES = 5  #: a change is made anew in what was weighed, held or written while it was checked


def change(
    folder: Path,
    name: str,
    spot: int | None,
    of: str,
    said: Mapping[str, str],
    *,
    at: datetime | None = None,
    who: Sequence[str] = (),
    why: str = WHY,
) -> tuple[Fault, ...]:
    """Write what a form says into block or row `spot`, or into a new one of table `of` (`spot` None).

    What `said` leaves out stays as it is. The faults that the file would have then; empty: it is written, and with it
    `at` (None: now), `who` and `why` where the workshop has records.
    """
    file, text = text_of_file(folder, name)
    faults: tuple[Fault, ...] = ()
    for _ in range(TRIES):
        try:
            new = _with(file, text, name, spot, of, said)
            return put(folder, file, new, was=text, at=at, who=who, why=why)
        except Meanwhile as error:
            before, faults = text, error.faults
            file, text = text_of_file(folder, name)
            if _which(file, text, spot) != _which(file, before, spot):
                break
    return faults


def _which(file: str, text: str, spot: int | None) -> str | None:
    """The name of what stands at a place of a file; None: it has none, or it is to be a new one."""
    if spot is None:
        return None
    if file.endswith(".csv"):
        return dict(rows_in(text)[1]).get(spot, {}).get("id")
    blocks = blocks_of(text)
    if spot >= len(blocks):
        return None
    block = blocks[spot]
    return f"{block.name} {_title(block.name, {key: one.literal for key, one in block.spots.items()})}"


def _with(file: str, text: str, name: str, spot: int | None, of: str, said: Mapping[str, str]) -> str:
    """The text of a file with one block or row as a form says it."""
    table = table_for(name, of)
    if table is None:
        raise Refused(Fault(file, f"nothing in it is called {of!r}", "see the page of the file"))
    known = {key: value.strip() for key, value in said.items() if key in table.by_name}
    if file.endswith(".csv"):
        columns = [one.name for one in table.fields]
        if spot is not None and spot not in dict(rows_in(text)[1]):
            raise Refused(
                Fault(file, "that row is gone: somebody has changed the file meanwhile", "open it again")
            )
        return with_row(text, spot, known, columns)
    literals = {key: literal_of(value, table.by_name[key]) if value else None for key, value in known.items()}
    if spot is None:
        fresh = {key: literal for key, literal in literals.items() if literal is not None}
        heading = said.get("heading", "").strip() if name == "plastics" else of
        if not heading:
            raise Refused(Fault(file, "it has no name yet", "write the ID of a plastic"))
        listed = name != "plastics" and _listed(name, of)
        return added(text, heading, fresh, listed=listed)
    blocks = blocks_of(text)
    if spot >= len(blocks) or blocks[spot].name != of:
        raise Refused(
            Fault(file, "that part is gone: somebody has changed the file meanwhile", "open it again")
        )
    shown = {key: text_of(spot.literal, table.by_name.get(key)) for key, spot in blocks[spot].spots.items()}
    differs = {key: literal for key, literal in literals.items() if known[key] != shown.get(key, "")}
    return changed(text, spot, differs)


def take_away(
    folder: Path,
    name: str,
    spot: int,
    of: str,
    *,
    at: datetime | None = None,
    who: Sequence[str] = (),
    why: str = WHY,
) -> tuple[Fault, ...]:
    """Take a block or a row away; the faults that the file would have then; empty: it is gone."""
    file, text = text_of_file(folder, name)
    if file.endswith(".csv"):
        new = without_row(text, spot)
    else:
        blocks = blocks_of(text)
        if not 0 < spot < len(blocks) or blocks[spot].name != of:
            raise Refused(
                Fault(file, "that part is gone: somebody has changed the file meanwhile", "open it again")
            )
        new = removed(text, spot)
    try:
        return put(folder, file, new, was=text, at=at, who=who, why=why)
    except Meanwhile as error:
        return error.faults


def put(
    folder: Path,
    file: str,
    text: str,
    *,
    was: str,
    at: datetime | None = None,
    who: Sequence[str] = (),
    why: str = WHY,
) -> tuple[Fault, ...]:
    """Write a file of a workshop, unless the workshop would have faults then that it has not now: those come back.

    Where the workshop has records, they are what is written, in one transaction, and the file follows them. What
    stood there before stays beside it as `FILE.before`. Raises `Meanwhile` where the records have the file otherwise by
    now than `was`, from which the change was begun: nothing is written then.
    """
    faults = _faults_with(folder, file, text)
    had = set(_faults_now(folder))
    new = tuple(one for one in faults if one not in had)
    if new:
        return new
    if written_in(folder).form == "records":
        try:
            put_texts(folder, {file: text}, was={file: was}, at=at or datetime.now(UTC), who=who, why=why)
        except Meanwhile:
            raise
        except Refused as error:
            return error.faults
        return ()
    path = folder / file
    try:
        if path.exists():
            shutil.copy2(path, folder / f"{file}.before")
    except OSError as error:
        raise not_written(path, error) from None
    write_file(path, text)
    return ()


def text_of_file(folder: Path, name: str) -> tuple[str, str]:
    """The name and the text of a file; a file that isn't there yet is empty."""
    if name not in NAMES:
        raise Refused(Fault("", f"a workshop has no file {name!r}", f"one of {', '.join(NAMES)}"))
    known = layout(name)
    written = written_in(folder)
    choices = [known.file, str(Path(known.file).with_suffix(".toml"))]
    file = next((one for one in choices if written.has(one)), known.file)
    notes = Notes()
    data = written.read(file, notes) if written.has(file) else b""
    if data is None:
        raise Refused(notes.sorted())
    try:
        return file, data.decode("utf-8")
    except UnicodeDecodeError:
        raise Refused(Fault(file, "is not UTF-8 text", "save it as UTF-8")) from None


def _faults_now(folder: Path) -> list[Fault]:
    return [*files.check(folder)[1], *faults_of_room(folder)]


def _faults_with(folder: Path, file: str, text: str) -> list[Fault]:
    """What would be wrong with the workshop if a file of it read so."""
    written = written_in(folder)
    with TemporaryDirectory(prefix="flatstock-") as name:
        beside = Path(name)
        for one in FILES:
            if written.has(one):
                (beside / one).write_bytes(written.read(one, Notes()) or b"")
        (beside / file).write_text(text, encoding="utf-8", newline="\n")
        return [*files.check(beside)[1], *faults_of_room(beside)]


def _field(name: str, of: str, key: str) -> Field | None:
    table = table_for(name, of)
    return None if table is None else table.by_name.get(key)


def _title(of: str, literals: Mapping[str, str]) -> str:
    named = next((text_of(literals[key]) for key in ("id", "ids") if key in literals), "")
    return named or of.rpartition(".")[2].replace("_", " ")


def _listed(name: str, of: str) -> bool:
    """Whether a table may stand any number of times."""
    known = layout(name)
    if known.rows and of == known.rows:
        return True
    parts = of.split(".")
    table = known.table
    for part in parts[:-1]:
        inner = table.by_name[part].table
        assert inner is not None
        table = inner
    return table.by_name[parts[-1]].kind == "tables"


def _is_named(name: str, of: str) -> bool:
    """[metals.ID]: the last part is a name of the shop's own."""
    known = layout(name).table.by_name.get(of.split(".")[0])
    return known is not None and known.kind == "named" and of.count(".") == 1


def _may_add(name: str, entries: tuple[Entry, ...]) -> tuple[tuple[str, str], ...]:
    known = layout(name)
    if name == "plastics":
        return (("plastics", "own values of a plastic"),)
    if known.rows:
        return ((known.rows, known.table.name),)
    there = {one.of for one in entries}
    found = []
    for field in known.table.fields:
        if field.table is not None and (
            field.kind == "tables" or (field.kind == "table" and field.name not in there)
        ):
            found.append((field.name, field.table.name))
    return tuple(found)
