"""JSON Schemas of a workshop's files, made from their layouts; a test compares them with schemas/*.json."""

from __future__ import annotations

from typing import Any

from flatstock.evidence import KINDS
from flatstock.units import UNITS, ending
from flatstock.workshop.fields import Field, Table
from flatstock.workshop.layouts import layout, table_of

__all__ = ["schema"]

Schema = dict[str, Any]

_WORDS: dict[str, Schema] = {
    "count": {"type": ["integer", "string"]},
    "text": {"type": "string"},
    "id": {"type": "string", "pattern": r"^[^\s;,=|]+$"},
    "choice": {"type": "string"},
    "flag": {"type": ["boolean", "string"]},
    "date": {"type": "string", "format": "date"},
    "moment": {"type": "string", "format": "date-time"},
    "clock": {"type": "string"},
    "days": {"type": ["string", "array"]},
    "texts": {"type": ["string", "array"]},
    "counts": {"type": ["integer", "array"], "items": {"type": "integer"}},
    "shares": {"type": ["string", "object"]},
    "amount": {"type": ["number", "string"]},
    "amounts": {"type": ["number", "string", "array"], "items": {"type": ["number", "string"]}},
    "amounts_by_name": {"type": "object", "additionalProperties": {"type": ["number", "string"]}},
    "any": {},
}


_NUMBER: Schema = {"type": ["number", "string"]}  # text: with a unit, or a decimal comma
_POINTS: Schema = {
    "type": "array",
    "items": {"type": "array", "items": {"$ref": "#/$defs/number"}, "minItems": 2, "maxItems": 2},
}
_DEFS: dict[str, Schema] = {
    "number": _NUMBER,
    "band": {"type": "array", "items": _NUMBER, "minItems": 3, "maxItems": 3},
    "evidence": {
        "type": "object",
        "properties": {
            "value": _NUMBER,
            "low": _NUMBER,
            "high": _NUMBER,
            "kind": {"enum": [*KINDS]},
            "source": {"type": "string"},
            "note": {"type": "string"},
        },
        "required": ["value"],
        "additionalProperties": False,
    },
    "plain": {
        "type": "object",
        "properties": {
            "value": _NUMBER,
            "kind": {"enum": [*KINDS]},
            "source": {"type": "string"},
            "note": {"type": "string"},
        },
        "required": ["value"],
        "additionalProperties": False,
    },
    "value": {"anyOf": [_NUMBER, {"$ref": "#/$defs/band"}, {"$ref": "#/$defs/evidence"}]},
    "number_or_plain": {"anyOf": [_NUMBER, {"$ref": "#/$defs/plain"}]},
}


def schema(name: str) -> Schema:
    """The schema of the file `name` ("shop"), as it stands in TOML; a list has its rows under its name."""
    of = layout(name)
    rows = _table(of.table)
    if name == "plastics":
        rows = {
            "type": "object",
            "properties": {"format": {"const": "flatstock.plastics/1"}},
            "additionalProperties": _table(table_of("plastics", "plastics")),
        }
    elif of.rows:
        rows = {
            "type": "object",
            "properties": {
                "format": {"const": f"flatstock.{of.rows}/1"},
                of.rows: {"type": "array", "items": rows},
            },
            "additionalProperties": False,
        }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": of.file,
        "description": of.about,
        **rows,
        "$defs": _DEFS,
    }


def _table(table: Table) -> Schema:
    made: Schema = {"type": "object", "properties": {f.name: _field(f) for f in table.fields}}
    others = {pattern: _number(f, bare=True) for f in table.fields if (pattern := _other_units(f))}
    if others:
        made["patternProperties"] = others
    needed = [f.name for f in table.fields if f.required and not _other_units(f)]
    if needed:
        made["required"] = needed
    choices: list[Schema] = [
        {"anyOf": [{"required": [name]} for name in _names(f)]}
        for f in table.fields
        if f.required and _other_units(f)
    ]
    choices += [{"anyOf": [{"required": [name]} for name in group]} for group in table.one_of]
    if choices:
        made["allOf"] = choices
    made["additionalProperties"] = table.open
    return made


def _field(field: Field) -> Schema:
    says: Schema = {"description": field.meaning}
    if field.kind in ("number", "value"):
        return says | _number(field, bare=False)
    if field.table is not None:
        inner = _table(field.table)
        if field.kind == "tables":
            return says | {"type": "array", "items": inner}
        return says | ({"type": "object", "additionalProperties": inner} if field.kind == "named" else inner)
    if field.kind == "points":
        return says | _POINTS
    says |= _WORDS[field.kind]
    if field.choices:
        says |= {"items": {"enum": [*field.choices]}} if field.kind == "texts" else {"enum": [*field.choices]}
    return says


def _number(field: Field, *, bare: bool) -> Schema:
    """A number, or text with a unit; with a band where the field may carry one. `bare`: in another unit."""
    number: Schema = {"type": "number"}
    number |= {} if field.low is None else {"minimum": field.low}
    number |= {} if field.high is None else {"maximum": field.high}
    if field.kind == "points":
        return _POINTS
    if bare:
        return {"$ref": "#/$defs/value" if field.kind == "value" else "#/$defs/number_or_plain"}
    either = [number, {"type": "string"}]
    if field.kind == "number":
        return {"anyOf": [*either, {"$ref": "#/$defs/plain"}]}
    return {"anyOf": [*either, {"$ref": "#/$defs/band"}, {"$ref": "#/$defs/evidence"}]}


def _names(field: Field) -> list[str]:
    """A measured field's name, and the same in every other unit of its dimension."""
    units = [u for u in UNITS[field.dimension] if u and u != field.unit]
    # K at the end of a name is a difference, never a temperature
    others = [u for u in units if not (field.dimension == "temperature" and u == "K")]
    return [field.name, *(f"{field.stem}_{ending(u)}" for u in others)]


def _other_units(field: Field) -> str:
    """A pattern for the field's name in another unit; "" where there is none."""
    if field.kind not in ("number", "value", "points") or field.unit is None:
        return ""
    ends = "|".join(name.removeprefix(f"{field.stem}_") for name in _names(field)[1:])
    return f"^{field.stem}_({ends})$" if ends else ""
