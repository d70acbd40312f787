"""One file of a folder that may hold nothing else: room.toml, supply.toml or outlay.toml."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from flatstock.errors import Fault, Refused
from flatstock.workshop.layouts import layout
from flatstock.workshop.reading import read_table
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Found, Notes
from flatstock.workshop.toml_tables import read_toml
from flatstock.workshop.written import written_in

__all__ = ["read_own"]


def read_own(
    folder: Path, name: str, *, first: Callable[[Found, Notes], None] | None = None
) -> tuple[Row | None, Notes]:
    """The file as its layout has it, None where it is no TOML, and what is wrong with it so far.

    `first` looks at the tables before the layout does.

    Raises
    ------
    Refused
        There is none.
    """
    file, notes = layout(name).file, Notes()
    written = written_in(folder)
    if not written.has(file):
        instead = "write one, or begin with a copy of the demo's: `flatstock new DIR --demo`"
        raise Refused(Fault(str(folder), f"the folder has no {file}", instead))
    data = written.read(file, notes)
    found = None if data is None else read_toml(file, data, notes)
    if found is None:
        return None, notes
    if first is not None:
        first(found, notes)
    return read_table(found, layout(name).table, file=file, path="", line=0, notes=notes), notes
