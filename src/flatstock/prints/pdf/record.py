"""A sheet's record on paper, and its label."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import segno

from flatstock.prints.numbers import plain
from flatstock.prints.pdf.parts import big, figure, lines, rows, sheet
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import made_at, short
from flatstock.prints.shown import Shown
from flatstock.prints.words import clock, day, plastic_name
from flatstock.units import System

__all__ = ["LABELS", "label_pdf", "record_pdf"]

Document = Mapping[str, Any]
#: what labels are printed on: a sheet of eight, or a roll of one size [mm]
LABELS: Mapping[str, tuple[float, float] | None] = {
    "sheet": None,
    "62x100": (62.0, 100.0),
    "100x50": (100.0, 50.0),
}
CLAIM = "Not for food contact, toys, medical, load-bearing or fire-rated use unless tested."


def record_pdf(document: Document, path: Path, paper: str = "a4", system: System = "metric") -> list[str]:
    """Write a sheet's record; returns what a person should know about the print.

    `document`: what `web.pages.records` says of a sheet.
    """
    shown = Shown(system)
    lots = [(lot, shown.mass(mass), f"{share:.1%}") for lot, mass, share in document["lots"]]
    way = [
        (
            f"{day(one['at'])}, {clock(one['at'])}",
            one["what"],
            one["where"],
            " + ".join(one["who"]),
            shown.prose(one["facts"]),
        )
        for one in document["way"]
    ]
    measures = [(name, words) for name, words in document["measures"]]
    parts = [
        big(
            figure("PLASTIC", f"{document['marking']}", wide=True, below=plastic_name(document["plastic"])),
            figure("THICKNESS", shown.digits(document["thickness_mm"], "mm"), unit=shown.unit("mm")),
            figure("PRESSED", document["pressed"], wide=True),
        ),
        rows("What it was pressed from", ("lot", "mass", "share"), "lrr", lots),
        rows("Its way", ("when", "what", "where", "who", ""), "llllw", way),
    ]
    if document.get("recycled"):
        parts.insert(2, lines("How recycled", _recycled(document["recycled"])))
    if measures:
        parts.append(rows("Measured", ("", ""), "lw", measures))
    if document.get("deviations"):
        parts.append(lines("Off the recipe", [shown.prose(one) for one in document["deviations"]]))
    parts.append(lines("Mark", [f"#{document['mark']}: it changes when a lot or a mass on record does."]))
    page = sheet(
        document["sheet"],
        (short(document["shop"], 48), document["order"] or "", document["state"]),
        parts,
        cautions=[{"text": one["text"], "defer_to": one["defer_to"]} for one in document["cautions"]],
        foot=document["foot"],
    )
    content = {"title": f"Record of {document['sheet']}", "shop": document["shop"], "sheets": [page]}
    return typeset_to(path, "report", content, paper=paper, made_at=made_at(document))


def _recycled(content: Document) -> list[str]:
    """The figure, or both, with the rule that makes them."""
    said = f"{plain(content['recycled_percent'], 1)} % by mass, own regrind counted as nothing"
    without = content["without_regrind_percent"]
    if without is not None:
        said += f"; {plain(without, 1)} % with own regrind left out of both sides"
    return [f"{said}.", content["rule"]]


def label_pdf(
    labels: Sequence[Document], path: Path, on: str, paper: str = "a4", system: System = "metric"
) -> list[str]:
    """Write labels: eight on a sheet, or one a page for a label printer; `on` is a key of `LABELS`.

    Raises
    ------
    ValueError
        `on` is not known.
    """
    if on not in LABELS:
        raise ValueError(f"labels on {on!r} are none of {', '.join(LABELS)}")
    shown, size = Shown(system), LABELS[on]
    made = [
        {
            "sheet": one["sheet"],
            "marking": one["marking"],
            "what": " ".join(filter(None, (shown.size(one["thickness_mm"] or 0.0), one["colour"]))),
            "size": "" if one["length_mm"] is None else shown.sizes(one["length_mm"], one["width_mm"]),
            "lines": [
                f"pressed {one['pressed']}",
                "lots " + ", ".join(f"{lot} {plain(100 * share, 1)} %" for lot, _, share in one["lots"]),
                *([f"not to be sized before {one['not_before']}"] if one["not_before"] else []),
                f"#{one['mark']}  {short(one['shop'], 40)}",
            ],
            "claim": CLAIM,
            "qr": _qr(one["text"]),
            "alt": f"QR: {one['text']}",
        }
        for one in labels
    ]
    pages = len(made) if size else -(-len(made) // 8)
    content = {
        "title": f"Labels, {labels[0]['shop']}" if labels else "Labels",
        "shop": labels[0]["shop"] if labels else "",
        "width_mm": size[0] if size else None,
        "height_mm": size[1] if size else None,
        "labels": made,
        "sheets": [None] * max(1, pages),
    }
    return typeset_to(path, "label", content, paper=paper, made_at=None)


def _qr(text: str) -> str:
    """A symbol of ISO/IEC 18004 that bears a scratch (level M)."""
    import io

    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        out, kind="svg", scale=4, border=4, dark="#000", light="#fff", xmldecl=False
    )
    return out.getvalue().decode()
