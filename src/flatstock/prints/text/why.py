"""Where a number of an answer comes from."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from flatstock.errors import Fault, WrongWords
from flatstock.prints.numbers import with_band
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import KIND_WORDS

__all__ = ["reasons_of", "why_text"]

Document = Mapping[str, Any]


def why_text(document: Document, field: str) -> str:
    """The formula, inputs (kind, source, share of the band, largest first) and source of one field.

    Raises `WrongWords` as `reasons_of` does.
    """
    lines: list[str] = []
    for reason in reasons_of(document, field):
        lines += _one(document, reason)
    return "\n".join(lines) + "\n"


def reasons_of(document: Document, field: str) -> list[Document]:
    """What the document explains of one field.

    Raises
    ------
    WrongWords
        The document explains no such field; the nearest one is named.
    """
    found = [reason for reason in document.get("why", ()) if reason["of"] == field]
    if not found:
        known = sorted({str(reason["of"]) for reason in document.get("why", ())})
        near = get_close_matches(field, known, n=1, cutoff=0.4)
        instead = f"nearest: {near[0]}; " if near else ""
        listed = ", ".join(known) or "nothing"
        raise WrongWords(
            Fault("--why", f"{field!r} is not explained here", f"{instead}this answer explains {listed}")
        )
    return found


def _one(document: Document, reason: Document) -> list[str]:
    field = str(reason["of"])
    lines = title(f"Why {field}", str(document.get("shop") or ""))
    if field in document and not isinstance(document[field], (list, tuple)):
        lines += [*wrapped(with_band(document[field], _unit_of(field), 2), first="now       ")]
    lines += [
        *wrapped(str(reason["formula"]), first="formula   "),
        *wrapped(str(reason["source"]), first="source    "),
    ]
    if not reason["inputs"]:
        return lines
    rows = [("", "value", "evidence", "where", "of the band")]
    for given in sorted(reason["inputs"], key=lambda one: -(one.get("band_share") or 0.0)):
        share = given.get("band_share")
        kind = str(given.get("kind") or "")
        rows.append((
            str(given["name"]), _value(given), KIND_WORDS.get(kind, kind), str(given.get("source") or ""),
            f"{share:.0%}" if share else "",
        ))  # fmt: skip
    return [*lines, *heading("Inputs"), *table(rows, "<<<<>")]


def _value(given: Document) -> str:
    value, unit = given.get("value"), str(given.get("unit") or "")
    if isinstance(value, str) or value is None:
        return str(value or "unknown")
    low, high = given.get("low"), given.get("high")
    band = f" ({low:.4g} to {high:.4g})" if low is not None and high is not None and low < high else ""
    return f"{value:.5g} {unit}".rstrip() + band


def _unit_of(field: str) -> str:
    unit = field.rsplit("_", 1)[-1]
    return {"C": "°C", "kg": "kg", "mm": "mm", "min": "min", "kWh": "kWh", "K": "K"}.get(unit, "")
