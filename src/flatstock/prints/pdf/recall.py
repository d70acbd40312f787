"""On paper: what holds some of a lot, for whoever calls the customers; and how recycled an order is."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.prints.numbers import plain
from flatstock.prints.pdf.parts import big, figure, lines, rows, sheet
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import made_at, short
from flatstock.prints.shown import Shown
from flatstock.units import System

__all__ = ["recall_pdf", "recycled_pdf"]

Document = Mapping[str, Any]


def recall_pdf(document: Document, path: Path, paper: str = "a4") -> list[str]:
    """Write the list of what holds some of a lot; returns what a person should know about the print.

    `document`: what `web.pages.tracing` says of a lot.
    """
    parts = [
        big(
            figure("LOT", document["lot"], wide=True, below=document["status"]),
            figure("SHEETS", str(len(document["sheets"]))),
            figure("ORDERS TO TELL", str(len(document["orders"]))),
        ),
        rows("Whom to tell", ("order", "what", "sheets of it", "not weighed yet"), "llww", document["orders"]),
        rows("Sheets", ("sheet", "what", "state", "last told of", "through", "found: by, at"), "lwllll",
             [(*one, "") for one in document["sheets"]]),
        rows("Flake and regrind: hold each", ("lot", "what", "state", "on hand", "made from"), "lwlrl",
             document["lots"]),
    ]  # fmt: skip
    if document["offcuts"]:
        parts.append(lines("Offcuts in store", [", ".join(document["offcuts"])]))
    if document["planned"]:
        words = ", ".join(document["planned"])
        parts.append(lines("Planned with it, not weighed yet", [f"{words}. A held lot can't be weighed."]))
    page = sheet(
        f"Recall {document['lot']}",
        (short(document["shop"], 48), document["as_of"]),
        parts,
        cautions=document["cautions"],
        foot=document["foot"],
    )
    content = {"title": f"Recall {document['lot']}", "shop": document["shop"], "sheets": [page]}
    return typeset_to(path, "report", content, paper=paper, made_at=made_at(document))


def recycled_pdf(document: Document, path: Path, paper: str = "a4", system: System = "metric") -> list[str]:
    """Write how recycled something is, with its rule; returns what a person should know about the print."""
    shown, content = Shown(system), document["content"]
    without = content["without_regrind_percent"]
    figures = [
        figure(
            "RECYCLED CONTENT", plain(content["recycled_percent"], 1), unit="%", below="by mass, as weighed"
        )
    ]
    if without is not None:
        figures.append(
            figure("OWN REGRIND LEFT OUT", plain(without, 1), unit="%", below="a composition, not a claim")
        )
    cells = [
        (one["lot"], one["origin"], one["counts_as"], shown.mass(one["mass_kg"]), one["evidence"])
        for one in content["lots"]
    ]
    parts = [
        big(*figures),
        rows("What it was pressed from", ("lot", "origin", "counts as", "mass", "papers"), "lllrw", cells),
        lines("The rule", [content["rule"]]),
        lines("Of", [", ".join(document["sheets"])]),
    ]
    page = sheet(
        document["of"],
        (short(document["shop"], 48), document["as_of"]),
        parts,
        cautions=document["cautions"],
        foot=document["foot"],
    )
    content_ = {"title": f"Recycled content of {document['of']}", "shop": document["shop"], "sheets": [page]}
    return typeset_to(path, "report", content_, paper=paper, made_at=made_at(document))
