"""Between what a person writes in a form and what stands in a file."""

from __future__ import annotations

import re

from flatstock.workshop.fields import Field
from flatstock.workshop.stay_words import are_stays, stays_of, stays_said

__all__ = ["literal_of", "number_of", "quoted", "text_of"]

_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_WORDS = re.compile(r'\[\s*(?:"[^"\\]*"\s*,?\s*)*\]')
_LISTED = ("texts",)
_NUMBERS = ("number", "value", "count", "amount")


def text_of(literal: str, field: Field | None = None) -> str:
    """A TOML value as a form shows it: words without quotes, a list of words with commas, the rest as it is.

    >>> text_of('"mild_steel"'), text_of('["S01", "S02"]'), text_of('{ value = 9, kind = "assumed" }')
    ('mild_steel', 'S01, S02', '{ value = 9, kind = "assumed" }')
    """
    if re.fullmatch(r'"[^"\\\n]*"', literal) or re.fullmatch(r"'[^'\n]*'", literal):
        return literal[1:-1]
    if _WORDS.fullmatch(literal) and (field is None or field.kind in _LISTED):
        return ", ".join(re.findall(r'"([^"\\]*)"', literal))
    if are_stays(field) and (said := stays_said(literal)) is not None:
        return said
    return literal


def literal_of(text: str, field: Field) -> str:
    """What a person wrote in a form, as a TOML value; whether it can be is for the file's reader to say.

    >>> from flatstock.workshop.fields import Field
    >>> literal_of("0,5", Field(name="thickness_mm", meaning="")), literal_of("1/2 in", Field(name="x_mm", meaning=""))
    ('0.5', '"1/2 in"')
    """
    said = text.strip()
    if said.startswith(("[", "{")):
        return said
    if are_stays(field) and (stays := stays_of(said)) is not None:
        return stays
    if field.kind == "flag":
        return {"yes": "true", "no": "false"}.get(
            said.lower(), said.lower() if said.lower() in ("true", "false") else quoted(said)
        )
    if field.kind in _NUMBERS and _NUMBER.fullmatch(said):
        return number_of(said)
    if field.kind == "date" and _DATE.fullmatch(said):
        return said
    if field.kind in _LISTED:
        return "[" + ", ".join(quoted(one.strip()) for one in said.split(",") if one.strip()) + "]"
    return quoted(said)


def number_of(said: str) -> str:
    """A number as TOML has it, written with a point or a comma."""
    return said.replace(",", ".").lstrip("+")


def quoted(text: str) -> str:
    """Any words as a TOML string of one line."""
    plain = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + re.sub(r"[\x00-\x1f\x7f]", " ", plain) + '"'
