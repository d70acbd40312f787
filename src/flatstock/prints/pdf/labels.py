"""Labels: eight on a sheet of paper, or one a page as a label printer takes it; of sheets and of lots."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import segno

from flatstock.prints.numbers import plain
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import short
from flatstock.prints.shown import Shown
from flatstock.prints.words import plastic_name
from flatstock.units import System

__all__ = ["LABELS", "label_pdf", "lot_label_pdf"]

Document = Mapping[str, Any]
#: what labels are printed on: a sheet of eight, or a roll of one size [mm]
LABELS: Mapping[str, tuple[float, float] | None] = {
    "sheet": None,
    "62x100": (62.0, 100.0),
    "100x50": (100.0, 50.0),
}
CLAIM = "Not for food contact, toys, medical, load-bearing or fire-rated use unless tested."
HELD = "A hold that came after this print counts: ask the store before it is weighed."


def label_pdf(
    labels: Sequence[Document], path: Path, on: str, paper: str = "a4", system: System = "metric"
) -> list[str]:
    """Write labels: eight on a sheet, or one a page for a label printer; `on` is a key of `LABELS`.

    Raises
    ------
    ValueError
        `on` is not known.
    """
    shown = Shown(system)
    made = [
        {
            "sheet": one["sheet"],
            "marking": one["marking"],
            "what": " ".join(filter(None, (shown.size(one["thickness_mm"] or 0.0), one["colour"]))),
            # what must not leave the shop says so before anything else that follows its name
            "size": f"KEEP BACK: {'; '.join(one['held'])}" if one["held"] else _size(one, shown),
            "lines": [
                *([_size(one, shown)] if one["held"] and one["length_mm"] is not None else []),
                f"pressed {one['pressed']}",
                "lots " + ", ".join(f"{lot} {plain(100 * share, 1)} %" for lot, _, share in one["lots"]),
                *([f"not to be sized before {one['not_before']}"] if one["not_before"] else []),
                f"#{one['mark']}  {short(one['shop'], 40)}",
            ],
            "claim": CLAIM,
            "qr": _qr(_said(one)),
            "alt": f"QR: {_said(one)}",
        }
        for one in labels
    ]
    return _set(made, labels[0]["shop"] if labels else "", path, on, paper)


def _size(label: Document, shown: Shown) -> str:
    return "" if label["length_mm"] is None else shown.sizes(label["length_mm"], label["width_mm"])


def _said(label: Document) -> str:
    """What the QR holds; a hold that was known at the print stands in it too."""
    return "\n".join([label["text"], *(f"keep back: {one}" for one in label["held"])])


def lot_label_pdf(
    labels: Sequence[Document], path: Path, on: str, paper: str = "a4", system: System = "metric"
) -> list[str]:
    """Write labels of lots, for bag and box; `labels` as `actions.lot_label` says them, `on` a key of `LABELS`.

    The state is that of the print, with its date: a bag can't know of a hold that comes later, and the label says so.
    """
    shown = Shown(system)
    made = [
        {
            "sheet": one["lot"],
            "marking": one["marking"] or plastic_name(one["plastic"]),
            "what": " ".join(filter(None, (one["colour"], one["form"]))),
            # a held lot says so before anything else that follows its name
            "size": f"{one['status'].upper()}: {one['held']}" if one["held"] else f"{one['status']}",
            "lines": [
                f"{shown.mass(one['mass_kg'])} and {one['status']} on {one['on']}",
                f"origin: {one['origin']}",
                *([f"made from {', '.join(one['parents'])}"] if one["parents"] else []),
                *([shown.prose(one["known"])] if one["known"] else []),
                short(one["shop"], 40),
            ],
            "claim": HELD,
            "qr": _qr(one["text"]),
            "alt": f"QR: {one['text']}",
        }
        for one in labels
    ]
    return _set(made, labels[0]["shop"] if labels else "", path, on, paper)


def _set(made: Sequence[Document], shop: str, path: Path, on: str, paper: str) -> list[str]:
    if on not in LABELS:
        raise ValueError(f"labels on {on!r} are none of {', '.join(LABELS)}")
    size = LABELS[on]
    pages = len(made) if size else -(-len(made) // 8)
    content = {
        "title": f"Labels, {shop}" if shop else "Labels",
        "shop": shop,
        "width_mm": size[0] if size else None,
        "height_mm": size[1] if size else None,
        "labels": made,
        "sheets": [None] * max(1, pages),
    }
    return typeset_to(path, "label", content, paper=paper, made_at=None)


def _qr(text: str) -> str:
    """A symbol of ISO/IEC 18004 that bears a scratch (level M)."""
    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        out, kind="svg", scale=4, border=4, dark="#000", light="#fff", xmldecl=False
    )
    return out.getvalue().decode()
