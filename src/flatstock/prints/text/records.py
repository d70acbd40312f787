"""What a workshop's records hold, in a terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Protocol

from flatstock.prints.text.layout import heading, table, title, wrapped

__all__ = ["state_text"]

#: a table of the records in words
WORDS = {
    "event": "events of the floor",
    "kept_file": "versions of files",
    "lot": "lots",
    "lot_status": "statuses given to lots",
    "stock_entry": "entries in the lots' book",
    "weighing": "weighings",
    "passage": "what went into what",
    "withdrawn": "events taken back",
}


class Change(Protocol):
    """A file that says something else than the records."""

    @property
    def file(self) -> str:
        """Its name."""

    @property
    def how(self) -> str:
        """In one word."""


class State(Protocol):
    """See `actions.record_state.RecordState`."""

    @property
    def folder(self) -> Path: ...
    @property
    def shown(self) -> str: ...
    @property
    def rows(self) -> Mapping[str, int]: ...
    @property
    def version(self) -> str: ...
    @property
    def copied(self) -> datetime | None: ...
    @property
    def copies(self) -> int: ...
    @property
    def changes(self) -> Sequence[Change]: ...


def state_text(state: State) -> str:
    """Where the records are, how much they hold, when they were copied, which files say something else."""
    counts = [
        (WORDS.get(name, name.replace("_", " ")), str(count)) for name, count in state.rows.items() if count
    ]
    lines = [*title("Records", str(state.folder)), *wrapped(f"In {state.shown}, tables {state.version}.")]
    lines += [*heading("What is on record"), *table(counts, "<>")]
    if state.copied is None:
        lines += wrapped(
            "No copy yet: the app makes one every hour, `flatstock records backup` one now.", first="  ! "
        )
    else:
        lines += wrapped(f"Copied last {state.copied:%Y-%m-%d %H:%M}; copies kept: {state.copies}.")
    for one in state.changes:
        said = f"{one.file} says something else than the records ({one.how}): `take` it in, or `leave` it."
        lines += wrapped(said, first="  ! ")
    return "\n".join(lines) + "\n"
