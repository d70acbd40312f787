"""Machines with their zones to cut out and push about on the plan, at its scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.drawing.floor.labels import Labels
from flatstock.prints.drawing.floor.things import draw_box, draw_names, draw_zones
from flatstock.prints.drawing.floor.view import PER_MM, View
from flatstock.prints.drawing.svg import QUIET, Drawing

__all__ = ["cutout_svgs"]

Document = Mapping[str, Any]


def cutout_svgs(document: Document, *, scale: int, system: str = "metric") -> list[dict[str, Any]]:
    """Each item not turned with its zones: "svg", "wide_mm" and "tall_mm" on paper, and the "fix" line beside it."""
    return [_cutout(item, scale, system) for item in document["items"]]


def _cutout(item: Document, scale: int, system: str) -> dict[str, Any]:
    turned = item.get("x_mm") is not None and (item.get("turned_deg") or 0) in (90, 270)
    length, width = (item["width_mm"], item["length_mm"]) if turned else (item["length_mm"], item["width_mm"])
    zones = [{**zone, **_own(zone, length, width)} for zone in item["zones"]]
    own = {
        **item,
        "x_mm": 0,
        "y_mm": 0,
        "length_mm": length,
        "width_mm": width,
        "turned_deg": 0,
        "zones": zones,
    }
    boxes = [own, *zones]
    view = View(
        min(b["x_mm"] for b in boxes), min(b["y_mm"] for b in boxes), max(b["x_mm"] + b["length_mm"] for b in boxes),
        max(b["y_mm"] + b["width_mm"] for b in boxes), scale, legend=False,
    )  # fmt: skip
    wide, tall = view.units
    drawing = Drawing(
        wide, tall, title=str(item["id"]), description=f"{item['id']} with its zones, to cut out."
    )
    draw_zones(drawing, view, own, named=True)
    draw_box(drawing, view, own)
    draw_names(drawing, view, [own], Labels(wide, tall), system)
    drawing.box(1, 1, wide - 2, tall - 2, "none", QUIET.dashed("6 4"))
    return {"svg": drawing.svg(), "wide_mm": wide / PER_MM, "tall_mm": tall / PER_MM, "fix": _fix(item)}


def _own(zone: Document, length: int, width: int) -> dict[str, int]:
    """A zone's rectangle in the item's own frame, the item's lower left corner at 0, 0."""
    side, depth, first = zone["side"], zone["depth_mm"], zone.get("from_mm") or 0
    along = zone.get("to_mm")
    long = ((length if side in ("front", "back") else width) if along is None else along) - first
    if side in ("front", "back"):
        return {
            "x_mm": first,
            "y_mm": -depth if side == "front" else width,
            "length_mm": long,
            "width_mm": depth,
        }
    return {"x_mm": -depth if side == "left" else length, "y_mm": first, "length_mm": depth, "width_mm": long}


def _fix(item: Document) -> str:
    """The words that put the item where it stands, or with blanks to fill in."""
    if item.get("x_mm") is None:
        return f"--fix {item['id']}=____,____,___"
    return f"--fix {item['id']}={item['x_mm']},{item['y_mm']},{item.get('turned_deg') or 0}"
