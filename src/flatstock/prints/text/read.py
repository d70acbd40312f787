"""What was found in a workshop's folder, in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.text.layout import heading, table, title, wrapped

__all__ = ["read_text"]


_READ = {"files": "Read", "records": "Read from the workshop's records"}


def read_text(document: Mapping[str, Any], shown: Shown = METRIC) -> str:
    """A `flatstock.read/1` without faults for people: files, how many of each thing, what is worth knowing."""
    counts = [(what.replace("_", " "), str(count)) for what, count in document["counts"].items() if count]
    lines = [
        *title(str(document["shop"] or "Before there is a shop"), str(document["folder"])),
        *wrapped(f"{_READ[document.get('form', 'files')]} without a fault: {', '.join(document['files'])}."),
    ]
    if counts:
        lines += [*heading("What stands in it"), *table(counts, "<>")]
    if document.get("plastics"):
        lines += [*heading("This shop's own plastics"), *table(_plastics(document), "<<")]
    if document["warnings"]:
        lines += heading("Take note")
        for words in document["warnings"]:
            lines += wrapped(shown.prose(str(words)), first="  ! ")
    return "\n".join(lines) + "\n"


def _plastics(document: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Each plastic of plastics.toml, and what it is."""
    rows = []
    for one in document["plastics"]:
        values = f"{one['values']} value{'' if one['values'] == 1 else 's'}"
        what = (
            f"{values} of this shop in place of the library's" if one["on_file"] else f"added here, {values}"
        )
        rows.append((str(one["plastic"]), what))
    return rows
