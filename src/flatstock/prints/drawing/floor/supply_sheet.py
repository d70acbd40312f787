"""The second sheet of a room: its supply. What draws current, on which phases, and its cable run, to scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.drawing.floor.margin import draw_dimensions, draw_scale
from flatstock.prints.drawing.floor.things import draw_box, draw_name
from flatstock.prints.drawing.floor.view import BELOW, LEGEND, PER_MM, View, length_words, view_of
from flatstock.prints.drawing.floor.walls import draw_walls
from flatstock.prints.drawing.svg import INK, Drawing, Pen

__all__ = ["describe_supply", "phase_words", "room_supply_svg"]

Document = Mapping[str, Any]
THREE = Pen(width=3.2)
PENS = {1: Pen(width=1.5), 2: Pen(width=1.5).dashed("10 4"), 3: Pen(width=1.5).dashed("3 3")}
BETWEEN = Pen(width=1.5).dashed("12 3 3 3")  # two phases
APART = 1.1 * PER_MM  # of runs that lie on each other


def room_supply_svg(document: Document, *, scale: int = 50, system: str = "metric") -> str:
    """The part `supply` of a `flatstock.room/1` over its room, at the scale and size of the first sheet."""
    view = view_of(document, scale)
    title = f"Supply of room {document.get('shop') or ''} at 1:{scale}".replace("  ", " ")
    drawing = Drawing(*view.units, title=title, description=describe_supply(document, system))
    standing = [item for item in document["items"] if item.get("x_mm") is not None]
    for item in standing:
        draw_box(drawing, view, item)
    part = document["supply"]
    runs = [one for one in part["loads"] if one["path_mm"]]
    ends: dict[str, int] = {}
    for number, one in enumerate(runs):
        shift = (number - (len(runs) - 1) / 2) * APART
        points = [view.at(*point) for point in one["path_mm"]]
        drawing.curve([(x + shift, y + shift) for x, y in points], _pen(one))
    named = {
        item["id"]: draw_name(drawing, view, item, system, ground=True)
        for item in standing
        if item["id"] != part["from"]
    }
    for one in runs:
        x, y = view.at(*one["path_mm"][-1])
        row = ends[one["at"]] = ends.get(one["at"], 0) + 1
        words = f"{one['load']} {phase_words(one)} {one['current_A']:.1f} A"
        drawing.words(
            (x, y + named.get(one["at"], 0.0) + 2 + 11 * row),
            words,
            size=9,
            anchor="middle",
            bold=True,
            ground=True,
        )
    if part["from_mm"] is not None:
        x, y = view.at(*part["from_mm"])
        drawing.box(x - 5, y - 5, 10, 10, "#111111")
        if part["from"] in {item["id"] for item in standing}:
            drawing.words((x, y - 10), part["from"], size=8, anchor="middle", bold=True, ground=True)
    draw_walls(drawing, view, document["room"])
    draw_dimensions(drawing, view, document["room"], system)
    draw_scale(drawing, view, system)
    _legend(drawing, view)
    return drawing.svg()


def phase_words(load: Document) -> str:
    """On which phases a load hangs."""
    return "L1 L2 L3" if len(load["lines"]) == 3 else "-".join(f"L{line}" for line in load["lines"])


def describe_supply(document: Document, system: str = "metric") -> str:
    """The text alternative: every load with its phases, current and run."""
    part = document["supply"]
    said = [
        f"{one['load']} at {one['at'] or 'no place on the plan'}, {phase_words(one)}, {one['current_A']:.1f} A"
        + ("" if one["run_mm"] is None else f", run {length_words(one['run_mm'], system)}")
        for one in part["loads"]
    ]
    return f"Cable runs from {part['from'] or 'no supply point'} over the plan: {'; '.join(said)}."


def _pen(load: Document) -> Pen:
    lines = load["lines"]
    return THREE if len(lines) == 3 else BETWEEN if len(lines) == 2 else PENS[lines[0]]


def _legend(drawing: Drawing, view: View) -> None:
    """What each line means, where the first sheet has its own."""
    wide, tall = LEGEND[0] * PER_MM, LEGEND[1] * PER_MM
    top = view.at(0, view.low_mm)[1] + BELOW * PER_MM
    entries = [
        ("three phases", THREE), ("L1", PENS[1]), ("L2", PENS[2]), ("L3", PENS[3]), ("between two phases", BETWEEN),
        ("supply comes from here", None),
    ]  # fmt: skip
    for n, (words, pen) in enumerate(entries):
        x = 2 * PER_MM + (n % view.in_a_row) * wide
        y = top + (n // view.in_a_row) * tall
        if pen is None:
            drawing.box(x + 8, y + 2, 10, 10, "#111111", INK)
        else:
            drawing.line((x, y + 7), (x + 26, y + 7), pen)
        drawing.words((x + 31, y + 10), words, size=9)
