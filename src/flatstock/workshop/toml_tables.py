"""The tables of a TOML file, every value with its line."""

from __future__ import annotations

from flatstock.workshop.plain_text import text_of
from flatstock.workshop.spots import Entry, Found, Notes
from flatstock.workshop.toml_hints import ends_open, hint, too_deep

__all__ = ["read_toml"]


def read_toml(file: str, data: bytes, notes: Notes) -> Found | None:
    """The tables of a TOML file, or None with a fault that names line and column."""
    import toml_rs

    text = text_of(file, data, notes, spreadsheet=False)
    if text is None:
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if (line := too_deep(text)) is not None:
        notes.broken(file, line, "", "more brackets are open here than any file needs", "close them")
        return None
    try:
        document = toml_rs.load_with_metadata(text)
    except toml_rs.TOMLDecodeError as error:
        reason = " ".join(error.msg.splitlines()[-1:]).strip()
        line = error.lineno
        lines = ["", *text.split("\n"), ""]
        if error.colno == 1 and ends_open(
            lines[line - 1]
        ):  # the parser has looked for the value on the next line
            line -= 1
        what, instead = hint(lines[line], reason)
        notes.broken(file, line, f"column {error.colno}" if line == error.lineno else "", what, instead)
        return None
    return _table(document.value, dict(document.meta["nodes"]))


def _table(values: dict[str, object], places: dict[str, object]) -> Found:
    return {key: _entry(value, places.get(key)) for key, value in values.items()}


def _entry(value: object, place: object) -> Entry:
    """Join a value with what the parser says about its place; a [table] has none, but its keys have."""
    line, inner = 0, place
    if isinstance(place, dict):
        at = place.get("key_line", place.get("value_line"))
        first = at[0] if isinstance(at, tuple) else at  # a value over several lines has its first and last
        if isinstance(first, int):  # else it is a [table], whose keys may have any name
            line, inner = first, place.get("value")
    if isinstance(value, dict):
        table = _table(value, inner if isinstance(inner, dict) else {})
        return Entry(table, line or min((e.line for e in table.values() if e.line), default=0))
    if isinstance(value, list):
        places = inner if isinstance(inner, list) and len(inner) == len(value) else [None] * len(value)
        items = [_entry(v, p) for v, p in zip(value, places, strict=True)]
        return Entry([e if e.line else Entry(e.value, line) for e in items], line)
    return Entry(value, line)
