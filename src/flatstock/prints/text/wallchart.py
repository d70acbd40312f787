"""The wall chart in a terminal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from flatstock.prints.chart_words import hidden, shown_rows
from flatstock.prints.numbers import dwell_and_latest, with_band
from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import PRESSING, closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import plastic_name
from flatstock.units import System

__all__ = ["wallchart_text"]

Document = Mapping[str, Any]


def wallchart_text(
    document: Document, system: System = "metric", *, every_caution: bool = False, every: bool = False
) -> str:
    """A `flatstock.wallchart/1` for people: a small table for each plastic and set-point.

    `system`: the units that the shop reads. `every_caution`: all, else those that every pressing meets.
    `every`: all plastics of the document, else those that the shop has flake of.
    """
    shown = Shown(system, scale_step=document.get("scale_step_kg"))
    size = f"cavity {shown.sizes(document['cavity_length_mm'], document['cavity_width_mm'])}"
    groups: dict[tuple[str, float], list[Document]] = defaultdict(list)
    for row in shown_rows(document, every=every):
        groups[row["plastic"], row["set_point_C"]].append(row)
    lines = [*title(f"{document['press']}: charge and dwell", str(document["shop"])), size]
    for (plastic, set_point), rows in sorted(groups.items()):
        lines += [*heading(f"{plastic_name(plastic)} at {shown.one(set_point, 'C')}"), *_rows(rows, shown)]
    lines += ["", *wrapped("Advised, core hot and latest: minutes from laying the mould down.")]
    if left := hidden(document, every=every):
        lines += wrapped(f"{left} --all shows it; the document has it.")
    return "\n".join([*lines, *closing(document, shown, cautions=None if every_caution else PRESSING)]) + "\n"


def _rows(rows: list[Document], shown: Shown) -> list[str]:
    table_rows = [("sheet", "charge", "advised", "core hot", "latest", "rests on")]
    notes: list[str] = []
    for row in sorted(rows, key=lambda one: one["thickness_mm"]):
        advised, latest = dwell_and_latest(row)
        table_rows.append((
            shown.size(row["thickness_mm"]), shown.mass_band(row["charge_kg"]),
            "none" if row["dwell_advised_min"] is None else advised,
            with_band(row["dwell_min"]), "over 4 h" if latest is None else latest,
            str(row["rests_on"]).replace("_", " "),
        ))  # fmt: skip
        notes += (
            wrapped(f"{shown.size(row['thickness_mm'])}: {shown.prose(str(row['note']))}", first="  ")
            if row.get("note")
            else []
        )
    return [*table(table_rows, "><><><", gap=2), *notes]
