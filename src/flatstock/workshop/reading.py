"""Read a table of a file against its declaration: every fault at once, numbers in SI."""

from __future__ import annotations

from difflib import get_close_matches

from flatstock.evidence import KINDS, Kind
from flatstock.units import UNITS, ending, split_name
from flatstock.workshop import defaults
from flatstock.workshop.fields import Field, Table
from flatstock.workshop.numbers import read_number, read_plain, read_points, read_value
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Entry, Found, Notes
from flatstock.workshop.words import read_word

__all__ = ["read_table"]


def read_table(found: Found, table: Table, *, file: str, path: str, line: int, notes: Notes) -> Row:
    """The row that `found` makes of `table`; what can't be read is noted and left out of it."""
    row = Row(file, path, line, kind=_kind(found, table))
    meant: set[str] = set()  # names of fields that stand under a wrong key
    for key, entry in found.items():
        field, unit = _field(key, table)
        if field is None:
            meant |= _unknown(key, entry, table, row, notes)
        elif field.key in row.values or field.key in row.lines:
            notes.fault(
                file,
                entry.line,
                _join(path, key),
                f"{row.written[field.key]} is given too",
                "keep one of them",
            )
        else:
            row.written[field.key], row.lines[field.key] = key, entry.line
            value = _read(entry, field, unit, row, notes)
            if value is not None:
                row.values[field.key] = value
    _missing(table, row, meant, notes)
    for field in table.fields:
        if field.key not in row.lines:
            row.values[field.key] = default_of(field, file)
    return row


def default_of(field: Field, file: str = "") -> object:
    """What counts when a field is left out (SI), or None."""
    if field.library:
        return defaults.value(field.library)
    if field.preset is None:
        return None
    notes = Notes()
    row = Row(file, "", 0)
    return _read(Entry(field.preset, 0), field, field.unit, row, notes)


def _field(key: str, table: Table) -> tuple[Field | None, str | None]:
    """The field that a key means, and the unit it is in: its own, or another of the same dimension."""
    if field := table.by_name.get(key):
        return field, field.unit
    if parts := split_name(key):
        stem, dimension, unit = parts
        if field := table.by_stem.get((stem, dimension)):
            return field, unit
    return None, None


def _unknown(key: str, entry: Entry, table: Table, row: Row, notes: Notes) -> set[str]:
    """Note a key that no field has; the names of the fields that may be meant by it."""
    if table.open:
        return set()
    path, names = _join(row.path, key), list(table.by_name)
    bare = [f for f in table.fields if f.unit and f.stem == key]
    if bare:
        notes.fault(row.file, entry.line, path, f"{key!r} has no unit in its name", _with_units(bare[0]))
        return {bare[0].name}
    parts = split_name(key)
    other = [f for f in table.fields if parts and f.unit and f.stem == parts[0]]
    if parts and other:
        field, unit = other[0], parts[2]
        article = "an" if field.dimension[0] in "aeiou" else "a"
        what = f"{unit} is no unit of {article} {field.dimension.replace('_', ' ')}"
        notes.fault(row.file, entry.line, path, what, _with_units(field))
        return {field.name}
    near = get_close_matches(key, names, n=1, cutoff=0.6)
    instead = f"the nearest is {near[0]}" if near else f"the keys here are {', '.join(names)}"
    notes.fault(row.file, entry.line, path, f"unknown key {key!r}", instead)
    return set(near)


def _with_units(field: Field) -> str:
    """The names that a field may have, its own first."""
    others = [
        f"{field.stem}_{ending(unit)}" for unit in UNITS[field.dimension] if unit and unit != field.unit
    ]
    return f"write {field.name}" + (f", or {' or '.join(others)}" if others else "")


def _kind(found: Found, table: Table) -> Kind:
    """The evidence that a table states for all of its numbers; measured where it says nothing."""
    stated = found.get("kind")
    if stated is None or "kind" not in table.by_name:
        return "measured"
    return next((k for k in KINDS if k == stated.value), "measured")


def _missing(table: Table, row: Row, meant: set[str], notes: Notes) -> None:
    for field in table.fields:
        if field.required and field.key not in row.lines and field.name not in meant:
            notes.fault(
                row.file, row.line, _join(row.path, field.name), "required, and missing", _give(field)
            )
    for group in table.one_of:
        stems = [table.by_name[name].key for name in group]
        if not any(s in row.lines for s in stems) and not meant & set(group):
            names = " or ".join(group)
            notes.fault(row.file, row.line, row.path, f"{names} is missing", "give one of them")


def _give(field: Field) -> str:
    if field.kind == "tables":
        none = f"{field.name} = [] above all tables"
        return f"start it with the line {field.example}, or say that there is none yet: {none}"
    if field.table is not None:
        return f"start it with the line {field.example}"
    return f"give it, as in {field.name} = {field.example}" if field.example else "give it"


def _read(entry: Entry, field: Field, unit: str | None, row: Row, notes: Notes) -> object:
    path = _join(row.path, row.written.get(field.key, field.name))
    if field.kind == "number" and isinstance(entry.value, dict):
        return read_plain(entry, field, unit, kind=row.kind, file=row.file, path=path, notes=notes)
    if field.kind == "number":
        return read_number(entry, field, unit, file=row.file, path=path, notes=notes)
    if field.kind == "value":
        return read_value(entry, field, unit, kind=row.kind, file=row.file, path=path, notes=notes)
    if field.kind == "points":
        return read_points(entry, field, unit, file=row.file, path=path, notes=notes)
    if field.kind in ("table", "tables", "named"):
        return _nested(entry, field, row, path, notes)
    return read_word(entry, field, file=row.file, path=path, notes=notes)


def _nested(entry: Entry, field: Field, row: Row, path: str, notes: Notes) -> object:
    assert field.table is not None
    value = entry.value
    if field.kind == "table" and isinstance(value, dict):
        return read_table(value, field.table, file=row.file, path=path, line=entry.line, notes=notes)
    if (
        field.kind == "named"
        and isinstance(value, dict)
        and all(isinstance(e.value, dict) for e in value.values())
    ):
        return {
            name: read_table(
                e.value, field.table, file=row.file, path=_join(path, name), line=e.line, notes=notes
            )
            for name, e in value.items()
        }
    if field.kind == "tables" and isinstance(value, list) and all(isinstance(e.value, dict) for e in value):
        return [
            read_table(
                e.value,
                field.table,
                file=row.file,
                path=_join(path, _label(e.value, n)),
                line=e.line,
                notes=notes,
            )
            for n, e in enumerate(value, 1)
        ]
    wanted = {"table": f"[{path}]", "named": f"[{path}.ID]", "tables": f"[[{path}]]"}[field.kind]
    notes.fault(row.file, entry.line, path, "this is not a table", f"start it with the line {wanted}")
    return None


def _label(found: Found, number: int) -> str:
    """How a fault names an item of an array: by its ID, else by its number."""
    entry = found.get("id")
    return entry.value if entry is not None and isinstance(entry.value, str) and entry.value else str(number)


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key
