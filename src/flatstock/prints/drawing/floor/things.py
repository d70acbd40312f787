"""Machines with their names and sizes, and their zones hatched by kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.prints.drawing.floor.labels import EDGE, WORDS, Anchor, Labels
from flatstock.prints.drawing.floor.view import View, length_words
from flatstock.prints.drawing.svg import INK, QUIET, THIN, Drawing, Pen, Point, text_width

__all__ = ["HATCHES", "ZONE_PENS", "draw_box", "draw_names", "draw_zones", "front_edge"]

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


def draw_box(drawing: Drawing, view: View, item: Document) -> None:
    """The box of an item with its front marked."""
    drawing.area(view.corners(item), "#ffffff", INK)
    drawing.line(*front_edge(view, item), Pen(width=4.5))


def draw_names(
    drawing: Drawing, view: View, items: Sequence[Document], labels: Labels, system: str
) -> dict[str, float]:
    """The name of each item and, where there is room, its size; how far below its middle the words end.

    All boxes are drawn before: a name that its box has no room for stands beside it, clear of the others.
    """
    ends, beside = {}, []
    for item in items:
        labels.keep_line(view.corners(item), EDGE, closed=True)
        end = _draw_inside(drawing, view, item, labels, system)
        if end is None:
            beside.append(item)
        ends[str(item["id"])] = end or 0.0
    for item in beside:
        labels.put(drawing, _beside(view, item), [str(item["id"])], size=8, bold=True)
    return ends


def _draw_inside(drawing: Drawing, view: View, item: Document, labels: Labels, system: str) -> float | None:
    """The words in the box, and how far below its middle they end; None where there is no room for its name."""
    (x, y), name = _middle(view, item), str(item["id"])
    wide, tall = view.long(item["length_mm"]), view.long(item["width_mm"])
    size = f"{length_words(item['length_mm'], system)} x {length_words(item['width_mm'], system)}"
    if text_width(name, 8, True) > wide:
        return None
    fits = text_width(size, 8) <= wide and tall >= 26
    big = 11 if text_width(name, 11, True) <= wide else 8
    foot = y + (0 if fits else big * 0.35)
    rows = [(foot, name, big, True), *([(y + 10, size, 8, False)] if fits else [])]
    for at, words, high, bold in rows:
        half = min(text_width(words, high, bold), wide - 6) / 2  # of the white below: the box keeps its edges
        top, low = max(at - high * 0.84, y - tall / 2 + 3), min(at + high * 0.2, y + tall / 2 - 3)
        drawing.box(x - half, top, 2 * half, max(0.0, low - top), "#ffffff")
        drawing.words((x, at), words, size=high, anchor="middle", bold=bold)
        labels.keep([(x - half, at - high), (x + half, at)], WORDS)
    return 10.0 if fits else big * 0.35


def _beside(view: View, item: Document) -> list[tuple[Point, Anchor]]:
    """Where the name of an item may stand that is larger than its box: before its front, else on another side."""
    (x, y), turn = _middle(view, item), item.get("turned_deg") or 0
    wide, tall = view.long(item["length_mm"]), view.long(item["width_mm"])
    low: tuple[Point, Anchor] = ((x, y + tall / 2 + 12), "middle")
    high: tuple[Point, Anchor] = ((x, y - tall / 2 - 6), "middle")
    right: tuple[Point, Anchor] = ((x + wide / 2 + 5, y + 3), "start")
    left: tuple[Point, Anchor] = ((x - wide / 2 - 5, y + 3), "end")
    round_it = [low, right, high, left]
    first = turn // 90
    return [*round_it[first:], *round_it[:first]]


def _middle(view: View, item: Document) -> Point:
    return view.at(item["x_mm"] + item["length_mm"] / 2, item["y_mm"] + item["width_mm"] / 2)


def front_edge(view: View, item: Document) -> tuple[Point, Point]:
    """Where the front of an item is on paper: its lower edge, turned with it counter-clockwise."""
    corners = view.corners(item)  # lower left, lower right, upper right, upper left
    first = (item.get("turned_deg") or 0) // 90
    return corners[first], corners[(first + 1) % 4]
