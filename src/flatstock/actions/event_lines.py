"""Every event on record, read out a line each for other programs."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from flatstock.errors import Fault, Refused
from flatstock.records.address import records_of

__all__ = ["COLUMNS", "event_lines"]

#: of the table; `facts` is a JSON object, `who` the ids of people with a blank between
COLUMNS = ("number", "id", "at", "noted_at", "kind", "who", "sheet", "place", "facts", "corrects", "why",
           "device", "stands")  # fmt: skip


def event_lines(folder: Path, form: Literal["lines", "csv"], *, after: int = 0) -> Iterator[str]:
    """Events with a number above `after`, by number: JSON objects, or rows under a heading.

    Beside what an event says stand its `number` in these records and whether it `stands`: false for one that was
    undone or corrected, and for what only does that. Raises `Refused` where there are no records.
    """
    from flatstock.records import open_store
    from flatstock.records.standing import struck

    if records_of(folder) is None:
        raise Refused(Fault(str(folder), "it has no records yet", "open the app on it once"))
    if form == "csv":
        yield ",".join(COLUMNS)
    with open_store(folder) as store:
        for piece in store.pieces(after):
            with store.reading() as db:
                gone = struck(db, [event.id for _, event in piece])
            for number, event in piece:
                said = {"number": number, **event.as_json(), "stands": event.id not in gone}
                yield json.dumps(said, ensure_ascii=False) if form == "lines" else _row(said)


def _row(said: dict[str, object]) -> str:
    facts, who = said["facts"], said["who"]
    assert isinstance(who, list)
    cells = said | {
        "facts": json.dumps(facts, ensure_ascii=False),
        "who": " ".join(who),
        "stands": "yes" if said["stands"] else "no",
    }
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(
        ["" if cells[name] is None else cells[name] for name in COLUMNS]
    )
    return out.getvalue()
