"""The wall chart: charge and dwell of one press on one large sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from flatstock.prints.chart_words import hidden, shown_rows
from flatstock.prints.drawing.chart import charge_dwell_svg, describe_chart
from flatstock.prints.numbers import dwell_and_latest, with_band
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, made_at, short
from flatstock.prints.shown import Shown
from flatstock.prints.words import day, plastic_name, weak_mark
from flatstock.units import System

__all__ = ["wallchart_pdf"]

Document = Mapping[str, Any]
#: type size [pt] of bands and notes at which a chart of four plastics with three set-points fills the paper
_SIZES = {"a3": 10.5, "tabloid": 10.5, "a4": 7.4, "letter": 7.4}
_KEY = (
    "Large: what to weigh, and the advised dwell from laying the mould down. Small: band of the charge; minutes"
    " until the core is hot enough, with its band; latest transfer."
)


def wallchart_pdf(
    document: Document, path: Path, paper: str = "a3", system: System = "metric", *, every: bool = False
) -> list[str]:
    """Print a `flatstock.wallchart/1` on A3, A4, Tabloid or Letter, landscape; returns warnings about it.

    `system`: the units that the shop reads. `every`: all plastics of the document, else those that the shop
    has flake of.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    content = _content(document, Shown(system, scale_step=document.get("scale_step_kg")), every)
    size = {"size": _SIZES.get(paper, 10.5)}
    return typeset_to(path, "wallchart", content | size, paper=paper, made_at=made_at(document))


def _content(chart: Document, shown: Shown, every: bool) -> dict[str, Any]:
    made, rows = made_at(chart), shown_rows(chart, every=every)
    there = {**chart, "rows": rows}
    thicknesses = sorted({float(row["thickness_mm"]) for row in rows})
    size = shown.sizes(chart["cavity_length_mm"], chart["cavity_width_mm"])
    left = hidden(chart, every=every)
    return {
        "title": f"Charge and dwell on {chart['press']}, {chart['shop']}",
        "shop": chart["shop"],
        "name": f"{chart['press']}: charge and dwell",
        "where": [short(str(chart["shop"]), 60), f"cavity {size}" + (f" · {day(made)}" if made else "")],
        "columns": [shown.size(mm, both=True) for mm in thicknesses],
        "plastics": [
            _plastic(plastic, rows, thicknesses, shown)
            for plastic in sorted({str(r["plastic"]) for r in rows})
        ],
        "picture": {
            "svgs": [charge_dwell_svg(there, width=580, height=300, shown=shown)],
            "alt": describe_chart(there),
        },
        "key": f"{_KEY} {_weak(rows)}".strip(),
        "warnings": [
            *(shown.prose(str(words)) for words in chart["warnings"]),
            *([left] if left else []),
        ],
        "cautions": cautions(chart, shown),
        "foot": foot(chart),
    }


def _weak(rows: Sequence[Document]) -> str:
    """What the mark of weak evidence means here."""
    marked = {mark for row in rows if (mark := weak_mark(row["rests_on"]))}
    said = " or ".join(sorted(marked))
    return (
        f"▲ rests on what is {said}, which nobody has measured here: try one sheet first." if marked else ""
    )


def _plastic(
    plastic: str, rows: Sequence[Document], thicknesses: Sequence[float], shown: Shown
) -> dict[str, Any]:
    """Charges, which no set-point changes, and a line of dwells for each set-point."""
    mine = [row for row in rows if row["plastic"] == plastic]
    by_place = {(float(r["set_point_C"]), float(r["thickness_mm"])): r for r in mine}
    charges = [next((r for r in mine if float(r["thickness_mm"]) == mm), None) for mm in thicknesses]
    return {
        "name": plastic_name(plastic),
        "charges": [None if row is None else _charge(row, shown) for row in charges],
        "lines": [
            {
                "set_point": shown.one(set_point, "C"),
                "usual": any(
                    row.get("usual", True) for row in mine if float(row["set_point_C"]) == set_point
                ),
                "cells": [
                    None if (row := by_place.get((set_point, mm))) is None else _dwell(row, shown)
                    for mm in thicknesses
                ],
            }
            for set_point in sorted({float(row["set_point_C"]) for row in mine})
        ],
    }


def _charge(row: Document, shown: Shown) -> dict[str, str]:
    digits, unit, charge, _ = shown.mass_parts(row["charge_kg"])
    low, high = shown.mass_ends(row["charge_kg"])
    return {"digits": digits, "unit": unit, "band": f"{low} to {high}" if charge.has_band else ""}


def _dwell(row: Document, shown: Shown) -> dict[str, str]:
    advised, latest = dwell_and_latest(row)
    none = row["dwell_advised_min"] is None
    said = f"core {with_band(row['dwell_min'])}"
    mark = " ▲" if weak_mark(row["rests_on"]) else ""
    end = f"latest {latest} min" if latest is not None else "latest over 4 h"
    return {
        "digits": "—" if none else advised,
        "unit": "" if none else "min",
        "said": f"{said}{mark}",
        "latest": end,
        "note": shown.prose(str(row["note"])) if row.get("note") else "",
    }
