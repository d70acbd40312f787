"""A promise in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import clock, day, plastic_name
from flatstock.units import System

__all__ = ["hand_over_words", "promise_text"]


def hand_over_words(document: Mapping[str, Any]) -> str:
    """From when it can be handed over, where nobody is there when it is ready; else nothing."""
    handed = document.get("hand_over")
    if document["earliest"] is None or handed is None:
        return ""
    ready, opens = datetime.fromisoformat(document["earliest"]), datetime.fromisoformat(handed)
    if opens <= ready:
        return ""
    return f"Nobody is there then: it can be handed over from {day(opens)} at {clock(opens)} on."


def promise_text(document: Mapping[str, Any], system: System = "metric") -> str:
    """A `flatstock.promise/1` for people; `system`: the units that the shop reads."""
    shown = Shown(system)
    size = shown.size(document["thickness_mm"])
    what = f"{document['count']} × {plastic_name(document['plastic'])} {size}"
    if document["colour"]:
        what += f" {document['colour']}"
    lines = title(what, str(document["shop"]))
    if document["earliest"] is None:
        lines += wrapped(
            "No time was found for it in the weeks looked at, with what is promised standing as it is."
        )
        lines += heading("What stands in the way")
        for words in document["because"]:
            lines += wrapped(shown.prose(f"{words[0].upper()}{words[1:]}."))
        return "\n".join([*lines, *closing(document, shown)]) + "\n"
    ready = datetime.fromisoformat(document["earliest"])
    lines += wrapped(f"All ready on {day(ready)} at {clock(ready)}, and nothing that is promised moves.")
    if words := hand_over_words(document):
        lines += wrapped(words)
    rows = [("day", "sheets ready")]
    for one in document["by_day"]:
        rows.append((day(datetime.fromisoformat(one["date"])), str(one["sheets"])))
    lines += ["", *table(rows, "<>")]
    lines += heading("What it waits for")
    for words in document["because"]:
        lines += wrapped(shown.prose(f"{words[0].upper()}{words[1:]}."))
    return "\n".join([*lines, *closing(document, shown)]) + "\n"
