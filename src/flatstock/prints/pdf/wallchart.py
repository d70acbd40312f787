"""The wall chart: charge and dwell of one press on one large sheet."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.prints.drawing.chart import charge_dwell_svg, describe_chart
from flatstock.prints.numbers import decimals_of, minutes_at_most, number, plain, with_band
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, made_at, short
from flatstock.prints.words import day, plastic_name, weak_mark

__all__ = ["wallchart_pdf"]

Document = Mapping[str, Any]
#: type size [pt] at which a chart of three plastics fills the paper
_SIZES = {"a3": 12.0, "tabloid": 12.0, "a4": 8.5, "letter": 8.5}
_KEY = (
    "Large: what to weigh, and the advised dwell from laying the mould down. Small: band of the charge; minutes"
    " until the core is hot enough, with its band; latest transfer. ▲ marks what nobody has measured here: try one"
    " sheet first."
)


def wallchart_pdf(document: Document, path: Path, paper: str = "a3") -> list[str]:
    """Print a `flatstock.wallchart/1` on A3, A4, Tabloid or Letter, landscape; returns warnings about it.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    content = _content(document) | {"size": _SIZES.get(paper, 12.0)}
    return typeset_to(path, "wallchart", content, paper=paper, made_at=made_at(document))


def _content(chart: Document) -> dict[str, Any]:
    made = made_at(chart)
    thicknesses = sorted({float(row["thickness_mm"]) for row in chart["rows"]})
    lines = sorted({(str(row["plastic"]), float(row["set_point_C"])) for row in chart["rows"]})
    kg = decimals_of(chart.get("scale_step_kg"))
    cells = {
        (r["plastic"], float(r["set_point_C"]), float(r["thickness_mm"])): _cell(r, kg) for r in chart["rows"]
    }
    size = f"{plain(chart['cavity_length_mm'])} × {plain(chart['cavity_width_mm'])} mm"
    return {
        "title": f"Charge and dwell on {chart['press']}, {chart['shop']}",
        "shop": chart["shop"],
        "name": f"{chart['press']}: charge and dwell",
        "where": [short(str(chart["shop"]), 60), f"cavity {size}" + (f" · {day(made)}" if made else "")],
        "columns": [f"{plain(mm)} mm" for mm in thicknesses],
        "rows": [
            {
                "plastic": plastic_name(plastic),
                "set_point": f"{plain(set_point)} °C",
                "cells": [cells.get((plastic, set_point, mm)) for mm in thicknesses],
            }
            for i, (plastic, set_point) in enumerate(lines)
        ],
        "firsts": [i for i in range(len(lines)) if _is_first(lines, i)],
        "picture": {"svgs": [charge_dwell_svg(chart, height=250)], "alt": describe_chart(chart)},
        "key": _KEY,
        "warnings": [str(words) for words in chart["warnings"]],
        "cautions": cautions(chart),
        "foot": foot(chart),
    }


def _is_first(lines: list[tuple[str, float]], at: int) -> bool:
    return at == 0 or lines[at - 1][0] != lines[at][0]


def _cell(row: Document, kg: int) -> dict[str, str]:
    charge = number(row["charge_kg"])
    latest = minutes_at_most(row["dwell_latest_min"])
    weak = weak_mark(row["rests_on"])
    said = [f"latest {latest} min" if latest is not None else "latest over 4 h"]
    said += [f"▲ {weak}"] if weak else []
    said += [str(row["note"])] if row.get("note") else []
    return {
        "charge": plain(charge.value, kg, "—"),
        "dwell": plain(row["dwell_advised_min"], unknown="—"),
        "charge_note": f"{plain(charge.low, kg)} to {plain(charge.high, kg)}" if charge.has_band else "",
        "dwell_note": f"core {with_band(row['dwell_min'])}",
        "said": " · ".join(said),
    }
