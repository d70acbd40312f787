"""What the screen and the paper show of a wall chart, and what they leave to the document."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.prints.words import plastic_name

__all__ = ["hidden", "shown_rows", "usual_rows"]

Document = Mapping[str, Any]


def shown_rows(chart: Document, *, every: bool = False) -> list[Document]:
    """Rows of plastics that the shop has flake of; all where `every` is asked for, or where it has none."""
    rows: Sequence[Document] = chart["rows"]
    stocked = [row for row in rows if row.get("in_stock", True)]
    return list(rows) if every or not stocked else stocked


def hidden(chart: Document, *, every: bool = False) -> str:
    """Which plastics of the document are not shown, in a sentence; empty where all are."""
    left = {str(row["plastic"]) for row in chart["rows"]} - {
        str(row["plastic"]) for row in shown_rows(chart, every=every)
    }
    names = ", ".join(plastic_name(one) for one in sorted(left))
    return f"Not shown, since no released flake of it is here: {names}." if names else ""


def usual_rows(rows: Sequence[Document]) -> list[Document]:
    """One set-point a plastic: the one on file, or all that there are."""
    with_usual = {row["plastic"] for row in rows if row.get("usual", True)}
    return [row for row in rows if row.get("usual", True) or row["plastic"] not in with_usual]
