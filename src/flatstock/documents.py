"""How a number is written into a document that other programs read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from flatstock.evidence import Value

__all__ = ["Document", "dated", "number", "rounded", "why"]

Document = dict[str, Any]
DIGITS = 6  #: significant figures: more than any scale or thermometer, few enough to read


def rounded(value: float) -> float:
    """A float to six significant figures."""
    return float(f"{value:.{DIGITS}g}")


def number(value: Value | None, factor: float = 1.0) -> Document | None:
    """A `Value` as formats ask for it: value, low, high, kind, source; None stays None."""
    if value is None:
        return None
    return {
        "value": rounded(value.value * factor),
        "low": rounded(value.low * factor),
        "high": rounded(value.high * factor),
        "kind": value.kind,
        "source": value.source,
    }


def dated(made_at: datetime | None) -> Document:
    """When a document was made, where that is known."""
    return {} if made_at is None else {"made_at": made_at.isoformat()}


def why(
    of: str,
    formula: str,
    inputs: Iterable[tuple[str, Value, float, str]],
    source: str,
    *,
    shares: Mapping[str, float] | None = None,
    **more: Any,
) -> Document:
    """An answer to "why": formula, inputs (name, value, display factor, display unit) and where it comes from.

    `shares` says how much of the answer's band each input brings, by name.
    """
    listed = []
    for name, value, factor, unit in inputs:
        line: Document = {"name": name, **(number(value, factor) or {}), "unit": unit}
        if value.note:
            line["note"] = value.note
        if shares and name in shares:
            line["band_share"] = rounded(shares[name])
        listed.append(line)
    return {"of": of, "formula": formula, "inputs": listed, "source": source, **more}
