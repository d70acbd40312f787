"""Charges that a plan gives up or sets aside, in words: what to do with them, day by day and by person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any

from flatstock.prints.plan_view import View
from flatstock.prints.words import clock

__all__ = ["given_up", "given_up_in", "given_up_on", "given_up_shortly", "taken_out_by"]

Document = Mapping[str, Any]


def given_up(document: Document) -> Iterator[str]:
    """What to do, sheet by sheet."""
    for entry in document.get("given_up", ()):
        yield f"{entry['sheet']}: {entry['because']}. {' '.join(entry['do'])}"
    for entry in document.get("set_aside", ()):
        yield f"{entry['sheet']} is set aside: {entry['because']}. {' '.join(entry['do'])}"


def given_up_shortly(document: Document) -> Iterator[str]:
    """The same in a line each, for a board that hangs beside the papers of the day."""
    for entry in document.get("given_up", ()):
        where = f" in {_place(entry)}" if _place(entry) else ""
        call = f" unless it can be saved by {_at(entry['call_by'])}" if entry.get("call_by") else ""
        cold = "cold " if entry["press"] else ""
        out = f"; taken out {cold}{_at(entry['out']['start'])}" if entry["out"] else ""
        yield f"{entry['sheet']}{where} is given up{call}{out}: see the hand-over."
    for entry in document.get("set_aside", ()):
        yield f"{entry['sheet']} is set aside: {entry['because']}."


def given_up_on(view: View, one: date) -> Iterator[str]:
    """What to do on a working day: of moulds that are in a press yet, and of charges set aside."""
    inside = [entry for entry in view.document.get("given_up", ()) if _inside(view, entry, one)]
    yield from given_up({"given_up": inside, "set_aside": view.document.get("set_aside", ())})


def given_up_in(view: View, press: str, one: date) -> Iterator[str]:
    """What to do about a press, a stack or a rack with such a mould in it."""
    for entry in view.document.get("given_up", ()):
        if _place(entry) == press and _inside(view, entry, one):
            yield " ".join(entry["do"])


def taken_out_by(view: View, person: str, one: date) -> Iterator[str]:
    """What somebody takes out on a working day."""
    for entry in view.document.get("given_up", ()):
        place = _place(entry)
        for task in entry.get("ahead", ()):
            if task["step"] != "move":
                continue
            to = next(name for name in task["places"] if view.kind.get(name) in ("stack", "rack"))
            if person in task["people"] and _day(view, task["start"]) == one:
                yield (
                    f"{_hours(task)}: carry {entry['sheet']} from {place} to {to}{_with(task, person)}: it is given up,"
                    f" and no less hot than another."
                )
            place = to
        out = entry["out"]
        if out is None or person not in out["people"] or _day(view, out["start"]) != one:
            continue
        yield (
            f"{_hours(out)}: take {entry['sheet']} out of {place}{_with(out, person)} and open it. Measure first: it is"
            f" given up, and cold only if the heat model is right."
        )


def _place(entry: Document) -> str:
    """Where its mould is; empty: nowhere any more."""
    return str(entry.get("place") or entry["press"] or "")


def _hours(task: Document) -> str:
    return f"{_clock(task['start'])} to {_clock(task['end'])}"


def _with(task: Document, person: str) -> str:
    others = [name for name in task["people"] if name != person]
    return f" with {' and '.join(others)}" if others else ""


def _inside(view: View, entry: Document, one: date) -> bool:
    out = entry["out"]
    since = _day(view, entry["since"])
    return _place(entry) != "" and since <= one and (out is None or one <= _day(view, out["end"]))


def _day(view: View, text: str) -> date:
    return view.day_of(datetime.fromisoformat(text))


def _clock(text: str) -> str:
    return clock(datetime.fromisoformat(text))


def _at(text: str) -> str:
    moment = datetime.fromisoformat(text)
    return f"{moment:%a} {clock(moment)}"
