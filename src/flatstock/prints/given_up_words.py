"""Charges that a plan gives up or sets aside, in words: what to do with them, day by day and by person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any

from flatstock.prints.words import clock

__all__ = ["given_up", "given_up_in", "taken_out_by"]

Document = Mapping[str, Any]


def given_up(document: Document, one: date | None = None) -> Iterator[str]:
    """What to do, sheet by sheet; `one`: on a day, of moulds that are in a press yet, and of charges set aside."""
    for entry in document.get("given_up", ()):
        if one is None or (entry["press"] is not None and _inside(entry, one)):
            yield f"{entry['sheet']}: {entry['because']}. {' '.join(entry['do'])}"
    for entry in document.get("set_aside", ()):
        yield f"{entry['sheet']} is set aside: {entry['because']}. {' '.join(entry['do'])}"


def given_up_in(document: Document, press: str, one: date) -> Iterator[str]:
    """What to do about a press with such a mould in it."""
    for entry in document.get("given_up", ()):
        if entry["press"] == press and _inside(entry, one):
            yield " ".join(entry["do"])


def taken_out_by(document: Document, person: str, one: date) -> Iterator[str]:
    """What somebody takes out on a day."""
    for entry in document.get("given_up", ()):
        out = entry["out"]
        if out is None or person not in out["people"] or _day(out["start"]) != one:
            continue
        others = [name for name in out["people"] if name != person]
        yield (
            f"{_clock(out['start'])} to {_clock(out['end'])}: take {entry['sheet']} out of {entry['press']}"
            f"{' with ' + ' and '.join(others) if others else ''} and open it. Measure first: it is given up, and cold"
            f" only if the heat model is right."
        )


def _inside(entry: Document, one: date) -> bool:
    out = entry["out"]
    return _day(entry["since"]) <= one and (out is None or one <= _day(out["end"]))


def _day(text: str) -> date:
    return datetime.fromisoformat(text).date()


def _clock(text: str) -> str:
    return clock(datetime.fromisoformat(text))
