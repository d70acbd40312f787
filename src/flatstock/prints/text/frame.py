"""The frame to have made, in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.frame_words import GIVES, spare_words
from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import plastic_name
from flatstock.units import System

__all__ = ["frame_text"]

Document = Mapping[str, Any]


def frame_text(document: Document, system: System = "metric") -> str:
    """A `flatstock.frame/1` for people, in units of `system`."""
    shown = Shown(system)

    def sizes(stem: str) -> str:
        return shown.sizes(document[f"{stem}_length_mm"], document[f"{stem}_width_mm"])

    rated = document["force_max_kN"]
    force = shown.band(document["full_force_kN"], "kN", 0)
    lines = [
        *title(f"A frame for {sizes('trimmed')} trimmed", str(document["shop"])),
        "",
        *wrapped(sizes("cavity"), first="CAVITY      "),
        *wrapped(f"{sizes('outside')}, with a land of {shown.size(document['land_mm'])}", first="OUTSIDE     "),
        *wrapped(f"{force} at full pressure" + (f", of {shown.one(rated, 'kN', 0)}" if rated else ""),
                 first="FORCE       "),
        *heading(f"With {shown.size(document['edge_trim_mm'])} off each edge"),
        *table([("plastic", "shrinks", "takes a cavity of", "length over, in this one"),
                *(_in(one, shown) for one in document["plastics"])], "<<<<"),
        *heading("Mass"),
        *table([("frame", "alone", "whole mould"), *(_mass(one, shown) for one in document["thicknesses"])], "<<<"),
        *(heading("Frames on file") if document["frames"] else []),
    ]  # fmt: skip
    for one in document["frames"]:
        lines += wrapped(_there(one, shown), first="  ")
    return "\n".join([*lines, *closing(document, shown)]) + "\n"


def _in(one: Document, shown: Shown) -> tuple[str, str, str, str]:
    long, wide = (one[f"cavity_needed_{side}_mm"] for side in ("length", "width"))
    return (
        plastic_name(one["plastic"]),
        shown.band(one["shrinkage_percent"], "%"),
        f"{shown.band(long, 'mm', 0, bare=True)} × {shown.band(wide, 'mm', 0)}",
        spare_words(one["spare_length_mm"], shown),
    )


def _mass(one: Document, shown: Shown) -> tuple[str, str, str]:
    return (
        shown.size(one["thickness_mm"]),
        shown.one(one["frame_mass_kg"], "kg"),
        shown.one(one["mould_mass_kg"], "kg", 0),
    )


def _there(one: Document, shown: Shown) -> str:
    gives = "; ".join(
        f"{plastic_name(given['plastic'])} {GIVES[given['gives_trimmed']]}" for given in one["gives"]
    )
    size = shown.sizes(one["cavity_length_mm"], one["cavity_width_mm"])
    return f"{size} ({', '.join(one['frames'])}): {gives}."
