"""Walks as thick as they are often, the trolley's ways with their turning places, ways out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from flatstock.prints.drawing.floor.view import View
from flatstock.prints.drawing.svg import INK, QUIET, THIN, Drawing, Pen, Point

__all__ = ["WAY_OUT", "draw_flows", "draw_trolley", "draw_ways_out", "flow_pen"]

Document = Mapping[str, Any]
WAY_OUT = QUIET.dashed("1 4")
TROLLEY = THIN.dashed("8 3 2 3")
THINNEST, THICKEST = 1.2, 4.4  # of a walk; the walls are thicker


def flow_pen(share: float, by: str) -> Pen:
    """The pen of a walk with so large a share of the most trips; what goes by trolley is dashed."""
    pen = Pen(width=THINNEST + (THICKEST - THINNEST) * share)
    return pen.dashed("14 4") if by == "trolley" else pen


def draw_flows(drawing: Drawing, view: View, flows: Sequence[Document]) -> None:
    """Walks from zone to zone with an arrow, as thick as they have trips."""
    most = max((flow["trips_per_day"] for flow in flows), default=1) or 1
    for flow in flows:
        points = [view.at(*p) for p in flow.get("path_mm") or ()]
        if len(points) > 1:
            drawing.curve(points, flow_pen(flow["trips_per_day"] / most, flow["by"]))
            _arrow(drawing, points[-2], points[-1], 9)


def draw_trolley(drawing: Drawing, view: View, document: Document) -> None:
    """Where the trolley's middle goes, and the square of each place where it turns."""
    side = (document.get("trolley") or {}).get("turning_mm", 0)
    for flow in document["flows"]:
        points = [view.at(*p) for p in flow.get("trolley_path_mm") or ()]
        if len(points) > 1:
            drawing.curve(points, TROLLEY)
        for x, y in flow.get("trolley_turns_mm") or ():
            box = {"x_mm": x - side / 2, "y_mm": y - side / 2, "length_mm": side, "width_mm": side}
            drawing.curve(view.corners(box), TROLLEY, closed=True)
            drawing.words(view.at(x, y), "turns", size=8, anchor="middle", ground=True)


def draw_ways_out(drawing: Drawing, view: View, ways: Sequence[Document]) -> None:
    """The ways out, dotted, from each standing place to its exit."""
    for way in ways:
        points = [view.at(*p) for p in way.get("path_mm") or ()]
        for a, b in pairwise(points):
            drawing.line(a, b, WAY_OUT)
        if points:
            x, y = points[0]
            drawing.box(x - 2, y - 2, 4, 4, "#ffffff", INK)


def _arrow(drawing: Drawing, before: Point, tip: Point, size: float) -> None:
    """The head of an arrow along one axis."""
    dx = (tip[0] > before[0]) - (tip[0] < before[0])
    dy = (tip[1] > before[1]) - (tip[1] < before[1])
    x, y, half = tip[0] - dx * size, tip[1] - dy * size, size / 2.2
    drawing.area([tip, (x - dy * half, y - dx * half), (x + dy * half, y + dx * half)], "#111111")
