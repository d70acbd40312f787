"""Bands, lists and tables of a file as a form shows them and takes them: in words and numbers, without its signs.

What words can't say without loss stays as the file has it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.workshop.fields import Field, Table
from flatstock.workshop.literals import literal_of, number_of, quoted
from flatstock.workshop.stay_words import are_stays

__all__ = ["field_words", "from_plain", "plain_example", "row_pattern", "said_plainly"]

_N = r"[+-]?\d+(?:[.,]\d+)?"
_NUMBER = re.compile(_N)
_VALUE = re.compile(
    rf"({_N})(?: \(({_N}) to ({_N})\))?(?:, (measured|fitted|handbook|from memory|assumed|computed))?(?:; (.+))?"
)
_GUESS = re.compile(r'\{ value = [^{},\[\]"]+, kind = "assumed" \}')  # has its own box to tick
_ASIDE = {"value", "low", "high", "kind", "source"}
NONE = "nothing"
#: what a field is called, where its own name is no word for people
FIELD_WORDS = {"id": "short name", "ids": "short names", "present": "hours"}


def said_plainly(field: Field, literal: str) -> str:
    """A TOML value in words, where they lead back to the same value; else as it is.

    >>> said_plainly(Field(name="shrinkage_percent", meaning="", kind="value"), "[2.0, 2.2, 2.5]")
    '2.2 (2.0 to 2.5)'
    >>> said_plainly(Field(name="outline_mm", meaning="", kind="points"), "[[0, 0], [9200, 0], [9200, 5600]]")
    '0 0; 9200 0; 9200 5600'
    >>> said_plainly(Field(name="gives", meaning="", kind="amounts_by_name"), "{ press = 48, people = 34 }")
    'press 48, people 34'
    """
    if not literal.startswith(("[", "{")) or _GUESS.fullmatch(literal) or are_stays(field):
        return literal
    value = _read(literal)
    words = None if value is None else _said(field, value)
    return literal if words is None or _read(from_plain(field, words)) != value else words


def plain_example(field: Field, literal: str) -> str:
    """An example in the same words, its rows behind each other."""
    return said_plainly(field, literal).replace("\n", " / ")


def row_pattern(table: Table) -> str:
    """How a line of a table is written: what it must say, with a gap for each."""
    asked = [one for one in table.fields if one.required]
    return "; ".join(f"{field_words(one)} …{f' {one.unit}' if one.unit else ''}" for one in asked)


def from_plain(field: Field, text: str) -> str:
    """What a form says, as a TOML value where it is a band, a list or a table in words; else as it was written.

    >>> from_plain(Field(name="shrinkage_percent", meaning="", kind="value"), "2,2 (2.0 to 2.5)")
    '[2.0, 2.2, 2.5]'
    >>> from_plain(Field(name="shrinkage_percent", meaning="", kind="value"), "2,2")
    '2,2'
    >>> from_plain(Field(name="outline_mm", meaning="", kind="points"), "0 0; 9200 0; 9200 5600")
    '[[0, 0], [9200, 0], [9200, 5600]]'
    """
    said = text.strip()
    if not said or said.startswith(("[", "{")) or are_stays(field):
        return text
    made: str | None = None
    if field.kind == "value":
        made = _band(said)
    elif field.kind in ("counts", "amounts"):
        made = _list(re.split(r"[,;]\s+|;|\n", said))
    elif field.kind == "points":
        made = _points(said)
    elif field.kind == "amounts_by_name":
        made = _by_name(said)
    elif field.kind == "table" and field.table is not None:
        made = _row(field.table, said)
    elif field.kind == "tables" and field.table is not None:
        rows = [_row(field.table, one) for one in said.splitlines() if one.strip()]
        made = None if None in rows else f"[{', '.join(str(one) for one in rows)}]"
    return text if made is None else made


def _read(literal: str) -> Any:
    try:
        return tomllib.loads(f"x = {literal}")["x"]
    except tomllib.TOMLDecodeError:
        return None


def _said(field: Field, value: Any) -> str | None:
    if field.kind == "value":
        return _band_said(value)
    if field.kind in ("counts", "amounts") and isinstance(value, Sequence):
        return ", ".join(str(one) for one in value)
    if field.kind == "points" and isinstance(value, Sequence):
        return "; ".join(" ".join(str(one) for one in point) for point in value)
    if field.kind == "amounts_by_name" and isinstance(value, Mapping):
        return ", ".join(f"{name} {one}" for name, one in value.items()) or NONE
    if field.kind == "table" and field.table is not None and isinstance(value, Mapping):
        return _row_said(field.table, value)
    if field.kind == "tables" and field.table is not None and isinstance(value, list) and value:
        rows = [_row_said(field.table, one) if isinstance(one, Mapping) else None for one in value]
        return None if None in rows else "\n".join(str(one) for one in rows)
    return None


def _band_said(value: Any) -> str | None:
    if isinstance(value, list) and len(value) == 3:
        low, typical, high = value
        return f"{typical} ({low} to {high})"
    if not isinstance(value, Mapping) or "value" not in value or not set(value) <= _ASIDE:
        return None
    band = f" ({value['low']} to {value['high']})" if {"low", "high"} <= set(value) else ""
    kind = f", {str(value['kind']).replace('_', ' ')}" if "kind" in value else ""
    source = f"; {value['source']}" if "source" in value else ""
    return f"{value['value']}{band}{kind}{source}"


def _row_said(table: Table, row: Mapping[str, Any]) -> str | None:
    parts = []
    for name, value in row.items():
        field = table.by_name.get(name)
        if field is None:
            return None
        if isinstance(value, bool):
            words: str | None = "yes" if value else "no"
        elif isinstance(value, str):
            words = value.replace("_", " ") if value in field.choices else value
        elif isinstance(value, int | float):
            words = f"{value} {field.unit}" if field.unit else str(value)
        else:
            words = _said(field, value)
        if words is None or ";" in words or "\n" in words:
            return None
        parts.append(f"{field_words(field)} {words}")
    return "; ".join(parts)


def field_words(field: Field) -> str:
    """What a field is called for people, without its unit."""
    return FIELD_WORDS.get(field.stem, field.stem.replace("_", " "))


def _band(said: str) -> str | None:
    match = _VALUE.fullmatch(said)
    if match is None or (match[2] is None and match[4] is None and match[5] is None):
        return None
    value, low, high = (None if one is None else number_of(one) for one in match.groups()[:3])
    if match[4] is None and match[5] is None:
        return f"[{low}, {value}, {high}]"
    more = [f"value = {value}"]
    more += [f"low = {low}", f"high = {high}"] if low is not None else []
    more += [f'kind = "{match[4].replace(" ", "_")}"'] if match[4] else []
    more += [f"source = {quoted(match[5])}"] if match[5] else []
    return "{ " + ", ".join(more) + " }"


def _list(parts: Sequence[str]) -> str | None:
    numbers = [one.strip() for one in parts if one.strip()]
    if len(numbers) < 2 or not all(_NUMBER.fullmatch(one) for one in numbers):
        return None
    return f"[{', '.join(number_of(one) for one in numbers)}]"


def _points(said: str) -> str | None:
    points = [one.split() for one in re.split(r"[;\n]", said) if one.strip()]
    if not all(len(one) == 2 and all(_NUMBER.fullmatch(part) for part in one) for one in points):
        return None
    return "[" + ", ".join(f"[{number_of(x)}, {number_of(y)}]" for x, y in points) + "]"


def _by_name(said: str) -> str | None:
    if said == NONE:
        return "{}"
    pairs = [one.strip().rpartition(" ") for one in re.split(r"[,;]\s+|;|\n", said) if one.strip()]
    if not all(re.fullmatch(r"[\w-]+", name) and _NUMBER.fullmatch(number) for name, _, number in pairs):
        return None
    return "{ " + ", ".join(f"{name} = {number_of(number)}" for name, _, number in pairs) + " }"


def _row(table: Table, said: str) -> str | None:
    """A row of a table: "kind work; side front; depth 1200 mm"."""
    found = []
    for part in said.split(";"):
        words = part.strip()
        if not words:
            continue
        fits = [one for one in table.fields if f"{words} ".startswith(f"{field_words(one)} ")]
        if not fits:
            return None
        field = max(fits, key=lambda one: len(field_words(one)))
        rest = words[len(field_words(field)) :].strip()
        if field.unit and rest.endswith(f" {field.unit}"):
            rest = rest.removesuffix(f" {field.unit}").strip()
        choice = next((one for one in field.choices if one.replace("_", " ") == rest), rest)
        found.append(f"{field.name} = {literal_of(from_plain(field, choice), field)}")
    return "{ " + ", ".join(found) + " }"
