"""Machines with their names and sizes, and their zones hatched by kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from flatstock.prints.drawing.floor.view import View, length_words
from flatstock.prints.drawing.svg import INK, QUIET, THIN, Drawing, Pen, text_width

__all__ = ["HATCHES", "ZONE_PENS", "draw_box", "draw_item", "draw_name", "draw_zones", "front_edge"]

Document = Mapping[str, Any]
#: hatching of a kind of zone, told apart without colour
HATCHES = {"work": "work", "service": "service", "swing": "swing"}
ZONE_PENS = {"work": THIN, "service": THIN.dashed("5 3"), "swing": QUIET.dashed("2 3")}
EXCLUSIVE = Pen(width=2.2).dashed("9 3")


def draw_zones(drawing: Drawing, view: View, item: Document, *, named: bool = False) -> None:
    """The zones of an item, below everything that stands."""
    for zone in item["zones"]:
        if zone.get("x_mm") is None:
            continue
        pen = EXCLUSIVE if zone.get("exclusive") else ZONE_PENS[zone["kind"]]
        drawing.area(view.corners(zone), HATCHES[zone["kind"]], pen)
        if named:
            x, y = view.at(zone["x_mm"] + zone["length_mm"] / 2, zone["y_mm"] + zone["width_mm"] / 2)
            drawing.words((x, y + 3), zone["id"], size=8, anchor="middle", ground=True)


def draw_item(drawing: Drawing, view: View, item: Document, system: str) -> None:
    """The box of an item with its front marked, its name and its size."""
    draw_box(drawing, view, item)
    draw_name(drawing, view, item, system)


def draw_box(drawing: Drawing, view: View, item: Document) -> None:
    """The box of an item with its front marked."""
    drawing.area(view.corners(item), "#ffffff", INK)
    drawing.line(*front_edge(view, item), Pen(width=4.5))


def draw_name(drawing: Drawing, view: View, item: Document, system: str, *, ground: bool = False) -> float:
    """The name of an item and, where there is room, its size; returns how far below its middle the words end.

    `ground`: on white, where lines run below them.
    """
    x, y = view.at(item["x_mm"] + item["length_mm"] / 2, item["y_mm"] + item["width_mm"] / 2)
    wide, tall = view.long(item["length_mm"]), view.long(item["width_mm"])
    size = f"{length_words(item['length_mm'], system)} x {length_words(item['width_mm'], system)}"
    name = str(item["id"])
    if text_width(name, 8, True) > wide:  # beside its front, where it stays on the floor
        turn = item.get("turned_deg") or 0
        out = {90: wide / 2 + 5, 270: -wide / 2 - 5}.get(turn, 0.0)
        anchor: Literal["start", "middle", "end"] = "start" if out > 0 else "end" if out < 0 else "middle"
        below = {0: tall / 2 + 12, 180: -tall / 2 - 6}.get(turn, 3.0)
        drawing.words((x + out, y + below), name, size=8, anchor=anchor, bold=True, ground=True)
        return 0.0
    fits = text_width(size, 8) <= wide and tall >= 26
    big = 11 if text_width(name, 11, True) <= wide else 8
    drawing.words(
        (x, y + (0 if fits else big * 0.35)), name, size=big, anchor="middle", bold=True, ground=ground
    )
    if fits:
        drawing.words((x, y + 10), size, size=8, anchor="middle", ground=ground)
    return 10.0 if fits else big * 0.35


def front_edge(view: View, item: Document) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the front of an item is on paper: its lower edge, turned with it counter-clockwise."""
    corners = view.corners(item)  # lower left, lower right, upper right, upper left
    first = (item.get("turned_deg") or 0) // 90
    return corners[first], corners[(first + 1) % 4]
