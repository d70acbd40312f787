"""The wall chart in a terminal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from flatstock.prints.numbers import decimals_of, minutes_at_most, plain, with_band
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import plastic_name

__all__ = ["wallchart_text"]

Document = Mapping[str, Any]


def wallchart_text(document: Document) -> str:
    """A `flatstock.wallchart/1` for people: a small table for each plastic and set-point."""
    kg = decimals_of(document.get("scale_step_kg"))
    size = f"cavity {plain(document['cavity_length_mm'])} × {plain(document['cavity_width_mm'])} mm"
    groups: dict[tuple[str, float], list[Document]] = defaultdict(list)
    for row in document["rows"]:
        groups[row["plastic"], row["set_point_C"]].append(row)
    lines = [*title(f"{document['press']}: charge and dwell", str(document["shop"])), size]
    for (plastic, set_point), rows in sorted(groups.items()):
        lines += [*heading(f"{plastic_name(plastic)} at {plain(set_point)} °C"), *_rows(rows, kg)]
    lines += ["", *wrapped("Advised, core hot and latest: minutes from laying the mould down.")]
    return "\n".join([*lines, *closing(document)]) + "\n"


def _rows(rows: list[Document], kg: int) -> list[str]:
    shown = [("mm", "charge, kg", "advised", "core hot", "latest", "rests on")]
    notes: list[str] = []
    for row in sorted(rows, key=lambda one: one["thickness_mm"]):
        latest = minutes_at_most(row["dwell_latest_min"])
        shown.append((
            plain(row["thickness_mm"]), with_band(row["charge_kg"], "", kg), plain(row["dwell_advised_min"]),
            with_band(row["dwell_min"]), "over 4 h" if latest is None else str(latest),
            str(row["rests_on"]).replace("_", " "),
        ))  # fmt: skip
        notes += (
            wrapped(f"{plain(row['thickness_mm'])} mm: {row['note']}", first="  ") if row.get("note") else []
        )
    return [*table(shown, "><><><", gap=2), *notes]
