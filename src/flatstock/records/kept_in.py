"""What a file of records holds of a workshop's own, read without opening it for anybody: to tell one from another."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

__all__ = ["KeptIn", "kept_in"]


@dataclass(frozen=True, slots=True)
class KeptIn:
    """Of records in SQLite."""

    files: dict[str, bytes]  #: the workshop's, as they were last taken in
    first: str | None  #: id of the event that they begin with; None before there is one


def kept_in(file: Path) -> KeptIn | None:
    """What records of any version hold, or a copy of them; None where they can't be read."""
    uri = f"{file.absolute().as_uri()}?mode=ro"
    # what stands in a writer's log counts; a copy has none, and may lie where nothing can be written beside it
    uri += "" if file.with_name(f"{file.name}-wal").exists() else "&immutable=1"
    try:
        with closing(sqlite3.connect(uri, uri=True)) as db:
            first = db.execute("select id from event order by seq limit 1").fetchone()
            there = db.execute("select 1 from sqlite_master where name = 'kept_file'").fetchone()
            # with max(), the other columns are those of the row that has it: sqlite.org/lang_select.html, 3.7.11 on
            rows = "select name, body, max(version) from kept_file group by name"
            files = {name: body for name, body, _ in db.execute(rows)} if there else {}
    except sqlite3.Error:
        return None
    return KeptIn(
        {name: body for name, body in files.items() if body is not None}, first[0] if first else None
    )
