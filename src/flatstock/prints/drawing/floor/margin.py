"""Beside the room: its dimensions, the scale with its bar, what the hatchings and lines mean."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Literal

from flatstock.prints.drawing.floor.paths import TROLLEY, WAY_OUT, flow_pen
from flatstock.prints.drawing.floor.things import EXCLUSIVE, ZONE_PENS
from flatstock.prints.drawing.floor.view import BELOW, LEGEND, PER_MM, View, length_words
from flatstock.prints.drawing.floor.walls import BEAM
from flatstock.prints.drawing.svg import INK, THIN, Drawing
from flatstock.units import convert

__all__ = ["draw_dimensions", "draw_legend", "draw_scale"]

Document = Mapping[str, Any]
TICK = 5  # of a dimension line, units of the drawing
OFF = 6 * PER_MM  # dimension line off the wall
FOOT_MM = convert(1.0, "length", "ft", "mm")
RECTANGLE = 4  # corners


def draw_dimensions(drawing: Drawing, view: View, room: Document, system: str) -> None:
    """Length and width of the room over all, between ticks; where it is no rectangle, each shorter wall too."""
    xs = [corner[0] for corner in room["outline_mm"]]
    ys = [corner[1] for corner in room["outline_mm"]]
    (x1, y1), (x2, y2) = view.at(min(xs), min(ys)), view.at(max(xs), max(ys))
    foot = view.at(0, view.low_mm)[1] + OFF
    drawing.line((x1, foot), (x2, foot), THIN)
    for x in (x1, x2):
        drawing.line((x - TICK, foot + TICK), (x + TICK, foot - TICK), INK)
    long, wide = (length_words(max(ends) - min(ends), system) for ends in (xs, ys))
    drawing.words(((x1 + x2) / 2, foot - 3), long, size=11, anchor="middle", ground=True)
    side = view.at(view.left_mm, 0)[0] - OFF
    drawing.line((side, y1), (side, y2), THIN)
    for y in (y1, y2):
        drawing.line((side - TICK, y + TICK), (side + TICK, y - TICK), INK)
    drawing.words((4, y2 - 10), wide, size=11)
    if len(room["outline_mm"]) > RECTANGLE:
        _draw_walls_lengths(drawing, view, room, system)


def _draw_walls_lengths(drawing: Drawing, view: View, room: Document, system: str) -> None:
    """How long each wall is that is shorter than the room: outside it, or inside where it is upright in a margin."""
    corners = [tuple(corner) for corner in room["outline_mm"]]
    turn = list(pairwise([*corners, corners[0]]))
    way = 1 if sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turn) > 0 else -1
    xs, ys = ({corner[axis] for corner in corners} for axis in (0, 1))
    for (x1, y1), (x2, y2) in turn:
        long = abs(x2 - x1) + abs(y2 - y1)
        x, y = view.at((x1 + x2) / 2, (y1 + y2) / 2)
        words = length_words(long, system)
        if x1 == x2 and long < max(ys) - min(ys):
            out = way * (1 if y2 > y1 else -1)
            if x1 in (min(xs), max(xs)):
                out = -out
            anchor: Literal["start", "end"] = "start" if out > 0 else "end"
            drawing.words((x + 6 * out, y + 3), words, size=9, anchor=anchor, ground=True)
        elif y1 == y2 and long < max(xs) - min(xs):
            above = way * (1 if x2 < x1 else -1) > 0
            drawing.words((x, y - 6 if above else y + 13), words, size=9, anchor="middle", ground=True)


def draw_scale(drawing: Drawing, view: View, system: str) -> None:
    """The scale in figures, and a bar to hold a ruler against: metres, or three feet each."""
    step = 3 * FOOT_MM if system == "us" else 1000
    steps = max(1, min(5, int((view.right_mm - view.left_mm) * 0.45 / step)))
    x, y = view.at(view.left_mm, view.low_mm)
    y += 13 * PER_MM
    drawing.words((x, y + 8), f"1:{view.scale}", size=14, bold=True)
    x += 16 * PER_MM
    for n in range(steps):
        left = x + view.long(n * step)
        drawing.box(left, y, view.long(step), 6, "#111111" if n % 2 == 0 else "#ffffff", INK)
    for n in range(steps + 1):
        words = f"{3 * n} ft" if system == "us" else f"{n} m"
        drawing.words((x + view.long(n * step), y + 17), words, size=9, anchor="middle")


def draw_legend(drawing: Drawing, view: View, document: Document) -> None:
    """What each hatching and line in the drawing means, in rows."""
    wide, tall = LEGEND[0] * PER_MM, LEGEND[1] * PER_MM
    top = view.at(0, view.low_mm)[1] + BELOW * PER_MM
    shown = _shown(document)
    for n, (kind, words) in enumerate(one for one in _ENTRIES if one[0] in shown):
        x = 2 * PER_MM + (n % view.in_a_row) * wide
        y = top + (n // view.in_a_row) * tall
        if kind in ZONE_PENS:
            drawing.box(x, y, 26, 13, kind, ZONE_PENS[kind])
        elif kind == "exclusive":
            drawing.box(x, y, 26, 13, "#ffffff", EXCLUSIVE)
        elif kind == "front":
            drawing.box(x, y, 26, 13, "#ffffff", INK)
            drawing.line((x, y + 13), (x + 26, y + 13), flow_pen(0.9, "person"))
        else:
            pen = {"out": WAY_OUT, "turn": TROLLEY, "low": BEAM}.get(kind) or flow_pen(0.5, kind)
            drawing.line((x, y + 7), (x + 26, y + 7), pen)
        drawing.words((x + 31, y + 10), words, size=9)


_ENTRIES = (
    ("work", "people work there"), ("service", "for maintenance"), ("swing", "something sweeps it"),
    ("exclusive", "shared with nobody"), ("front", "front of a machine"), ("person", "walks; thick: often"),
    ("trolley", "the same by trolley"), ("turn", "the trolley's middle"), ("out", "way out"), ("low", "hangs low"),
)  # fmt: skip


def _shown(document: Document) -> set[str]:
    """Which entries the drawing has."""
    zones = [zone for item in document["items"] for zone in item["zones"] if zone.get("x_mm") is not None]
    walks = [flow for flow in document["flows"] if len(flow.get("path_mm") or ()) > 1]
    found = {zone["kind"] for zone in zones} | {flow["by"] for flow in walks}
    return found | {
        kind
        for kind, there in (
            ("exclusive", any(zone.get("exclusive") for zone in zones)),
            ("front", any(item.get("x_mm") is not None for item in document["items"])),
            ("turn", any(flow.get("trolley_path_mm") for flow in document["flows"])),
            ("out", document.get("ways_out")),
            ("low", document["room"].get("low")),
        )
        if there
    }
