"""Numbers of a file: a bare number in the unit of its name, text with any unit, or a number with its band."""

from __future__ import annotations

from math import isfinite

from flatstock.errors import WrongWords
from flatstock.evidence import KINDS, Kind, Value
from flatstock.units import convert, from_si, parse_number, parse_quantity, si_unit, to_si
from flatstock.workshop.fields import Field
from flatstock.workshop.spots import Entry, Notes

__all__ = ["read_number", "read_plain", "read_points", "read_value"]

HUGE = 10**30  #: no measure in any unit here is as large; larger whole numbers don't fit a float
_EVIDENCE = ("value", "low", "high", "kind", "source", "note")


def read_number(
    entry: Entry, field: Field, unit: str | None, *, file: str, path: str, notes: Notes
) -> float | None:
    """The number in SI, or None with a fault. `unit` is that of the name in the file."""
    value = entry.value
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        notes.fault(file, entry.line, path, f"{_kind_of(value)} stands where a number should", _like(field))
        return None
    if isinstance(value, str):
        try:
            number = _from_text(value, field, unit)
        except WrongWords as error:
            notes.fault(file, entry.line, path, error.faults[0].what, error.faults[0].instead)
            return None
    elif isinstance(value, int) and abs(value) > HUGE:
        notes.fault(file, entry.line, path, "the number has too many digits to be a measure", _like(field))
        return None
    elif not isfinite(value):
        notes.fault(file, entry.line, path, f"{value} is no number that can be measured", _like(field))
        return None
    else:
        number = _to_field(float(value), field, unit)
    if not _possible(number, field):
        shown = value if isinstance(value, str) or unit == field.unit else f"{value} {unit}"
        notes.fault(file, entry.line, path, f"{shown} can't be", f"it must be {band_of(field)}")
        return None
    return _si(number, field)


def read_value(
    entry: Entry, field: Field, unit: str | None, *, kind: Kind, file: str, path: str, notes: Notes
) -> Value | None:
    """A number with its band in SI, or None with faults; `kind` is the evidence of one that doesn't say."""
    value, line = entry.value, entry.line
    if isinstance(value, str) and (said := next((k for k in KINDS if value.endswith(f" {k}")), None)):
        value, kind = value.removesuffix(said).strip(), said
        entry = Entry(value, line)
    source, note = file, ""
    parts: list[Entry]
    if isinstance(value, str) and "|" in value:
        parts = [Entry(p.strip(), line) for p in value.split("|")]
    elif isinstance(value, list):
        parts = value
    elif isinstance(value, dict):
        for key in value:
            if key not in _EVIDENCE:
                notes.fault(file, value[key].line, f"{path}.{key}", f"unknown key {key!r}",
                            f"the keys here are {', '.join(_EVIDENCE)}")  # fmt: skip
                return None
        if "value" not in value:
            notes.fault(file, line, path, "value is missing", "write { value = 25, low = 15, high = 30 }")
            return None
        middle: Entry = value["value"]
        parts = [value.get("low") or middle, middle, value.get("high") or middle]
        stated = value["kind"].value if "kind" in value else kind
        if stated not in KINDS:
            notes.fault(
                file, line, f"{path}.kind", f"{stated!r} is no kind of evidence", f"one of {', '.join(KINDS)}"
            )
            return None
        kind = next(k for k in KINDS if k == stated)
        source = str(value["source"].value) if "source" in value else file
        note = str(value["note"].value) if "note" in value else ""
    else:
        parts = [entry]
    numbers = [read_number(p, field, unit, file=file, path=path, notes=notes) for p in parts]
    if len(numbers) not in (1, 3):
        notes.fault(file, line, path, f"{len(numbers)} numbers", "write one, or [low, typical, high]")
        return None
    known = [n for n in numbers if n is not None]
    if len(known) < len(numbers):
        return None
    low, middle_number, high = known if len(known) == 3 else known * 3
    if not low <= middle_number <= high:
        notes.fault(
            file, line, path, "low, typical and high are not in this order", "write [low, typical, high]"
        )
        return None
    return Value(middle_number, low, high, kind, source, _si_unit(field), note)


def read_plain(
    entry: Entry, field: Field, unit: str | None, *, kind: Kind, file: str, path: str, notes: Notes
) -> Value | None:
    """A number that no band is worked out from, with its evidence: { value = 700, kind = "assumed" }."""
    assert isinstance(entry.value, dict)
    bands = [key for key in ("low", "high") if key in entry.value]
    if bands:
        what = f"this number has no band, so {' and '.join(bands)} would count for nothing"
        notes.fault(file, entry.line, path, what, "write value, kind and source alone")
        return None
    return read_value(entry, field, unit, kind=kind, file=file, path=path, notes=notes)


def read_points(
    entry: Entry, field: Field, unit: str | None, *, file: str, path: str, notes: Notes
) -> tuple[tuple[float, float], ...] | None:
    """Points [[x, y], ...] in SI, or None with a fault for each that is none."""
    listed = entry.value if isinstance(entry.value, list) else None
    if listed is None:
        notes.fault(
            file, entry.line, path, f"{_kind_of(entry.value)} stands where points should", _like(field)
        )
        return None
    found = []
    for number, point in enumerate(listed, 1):
        where = f"{path}[{number}]"
        pair = point.value if isinstance(point.value, list) else []
        if len(pair) != 2:
            what = f"point {number} is not a pair of lengths"
            notes.fault(file, point.line or entry.line, where, what, "write [x, y], as in [9200, 5600]")
            continue
        x, y = (read_number(part, field, unit, file=file, path=where, notes=notes) for part in pair)
        if x is not None and y is not None:
            found.append((x, y))
    return tuple(found) if len(found) == len(listed) else None


def band_of(field: Field) -> str:
    """What a field's number may be, in words: "0.1 to 500 mm"."""
    unit = f" {field.unit}" if field.unit and field.unit != "percent" else ""
    if field.low is not None and field.high is not None:
        return f"{field.low:.12g} to {field.high:.12g}{unit}"
    return f"at least {field.low:.12g}{unit}" if field.low is not None else f"at most {field.high:.12g}{unit}"


def _from_text(text: str, field: Field, unit: str | None) -> float:
    """In the field's own unit."""
    try:
        return _to_field(parse_number(text), field, unit)
    except WrongWords:
        if field.unit is None and field.high == 1 and text.rstrip().endswith("%"):
            return parse_quantity(text, "share", where="")
        if field.unit is None or not any(c.isalpha() or c in "%\"'″′" for c in text):
            raise
    minus = field.low is not None and field.low < 0 and text.lstrip().startswith("-")
    number = parse_quantity(text.lstrip().removeprefix("-") if minus else text, field.dimension, where="")
    return from_si(
        -number if minus and field.dimension != "temperature" else number, field.dimension, field.unit
    )


def _to_field(number: float, field: Field, unit: str | None) -> float:
    if unit is None or field.unit is None:
        return number
    return convert(number, field.dimension, unit, field.unit)


def _si(number: float, field: Field) -> float:
    return number if field.unit is None else to_si(number, field.dimension, field.unit)


def _possible(number: float, field: Field) -> bool:
    slack = 1e-9  # a converted limit ("1/2 in") may miss by a rounding
    return (field.low is None or number >= field.low - slack * abs(field.low)) and (
        field.high is None or number <= field.high + slack * abs(field.high)
    )


def _si_unit(field: Field) -> str:
    return "" if field.unit is None else si_unit(field.dimension)


def _like(field: Field) -> str:
    return f"write {field.name} = {field.example or 12.5}"


def _kind_of(value: object) -> str:
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, dict):
        return "a table"
    return "a list" if isinstance(value, list) else "a date or time"
