"""The second sheet of a room: its supply. What draws current, on which phases, and its cable run, to scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.prints.drawing.floor.labels import EDGE, LINE, Anchor, Labels
from flatstock.prints.drawing.floor.labels import ROW as ROW_OF
from flatstock.prints.drawing.floor.margin import draw_dimensions, draw_scale
from flatstock.prints.drawing.floor.things import draw_box, draw_names
from flatstock.prints.drawing.floor.view import BELOW, LEGEND, PER_MM, View, length_words, view_of
from flatstock.prints.drawing.floor.walls import draw_walls, name_walls
from flatstock.prints.drawing.svg import INK, Drawing, Pen, Point, text_width

__all__ = ["describe_supply", "phase_words", "room_supply_svg"]

Document = Mapping[str, Any]
THREE = Pen(width=3.2)
PENS = {1: Pen(width=1.5), 2: Pen(width=1.5).dashed("10 4"), 3: Pen(width=1.5).dashed("3 3")}
BETWEEN = Pen(width=1.5).dashed("12 3 3 3")  # two phases
SIZE = 9  # of the words of loads, units of the drawing
ROW = ROW_OF * SIZE
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
    labels = Labels(*view.units)
    for number, one in enumerate(runs):
        shift = (number - (len(runs) - 1) / 2) * APART
        points = [view.at(*point) for point in one["path_mm"]]
        box = next((view.corners(item) for item in standing if item["id"] == one["at"]), None)
        run = _to_the_edge([(x + shift, y + shift) for x, y in points], box)
        drawing.curve(run, _pen(one))
        labels.keep_line(run, LINE)
    draw_walls(drawing, view, document["room"], labels)
    named = draw_names(
        drawing, view, [item for item in standing if item["id"] != part["from"]], labels, system
    )
    if part["from_mm"] is not None:
        x, y = view.at(*part["from_mm"])
        drawing.box(x - 5, y - 5, 10, 10, "#111111")
        for item in standing:
            if item["id"] == part["from"]:
                labels.keep_line(view.corners(item), EDGE, closed=True)
                labels.put(drawing, _round_box(view, item, 1), [str(item["id"])], size=SIZE, bold=True)
    for name in dict.fromkeys(one["at"] for one in runs):
        item = next((item for item in standing if item["id"] == name), None)
        loads = [one for one in runs if one["at"] == name]
        _draw_loads(drawing, view, loads, item, labels, named.get(name, 0.0))
    name_walls(drawing, view, document["room"], labels, system)
    draw_dimensions(drawing, view, document["room"], system)
    draw_scale(drawing, view, system)
    _legend(drawing, view)
    return drawing.svg()


def _draw_loads(
    drawing: Drawing,
    view: View,
    loads: Sequence[Document],
    item: Document | None,
    labels: Labels,
    named: float,
) -> None:
    """The loads of one machine in its box below its name; beside the box where they have no room."""
    x, y = view.at(*loads[0]["path_mm"][-1])
    said = [(str(one["load"]), f"{phase_words(one)} {one['current_A']:.1f} A") for one in loads]
    whole = [" ".join(parts) for parts in said]
    if item is None:
        labels.put(drawing, [((x, y + ROW * len(whole)), "middle")], whole, size=SIZE, bold=True)
        return
    wide, tall = view.long(item["length_mm"]), view.long(item["width_mm"])
    rows = [
        row
        for parts, one in zip(said, whole, strict=True)
        for row in ([one] if _narrow(one, wide) else parts)
    ]
    foot = y + named + 2 + ROW * len(rows)
    if all(_narrow(row, wide) for row in rows) and foot <= y + tall / 2 - 5:
        labels.put(drawing, [((x, foot), "middle")], rows, size=SIZE, bold=True)
    else:
        labels.put(drawing, _round_box(view, item, len(whole)), whole, size=SIZE, bold=True)


def _narrow(words: str, wide: float) -> bool:
    """Whether words stay clear of the edges of a box so wide."""
    return text_width(words, SIZE, True) <= wide - 6


def _round_box(view: View, item: Document, rows: int) -> list[tuple[Point, Anchor]]:
    """Where so many rows may stand round a box: below and above, further along it, at its sides, further away."""
    (left, low), _, (right, high), _ = view.corners(item)
    middle, half, tall = (left + right) / 2, (low + high) / 2, ROW * (rows - 1)
    places: list[tuple[Point, Anchor]] = []
    for off in (0, 10, 20, 30, 45, 60):
        feet = (low + 12 + tall + off, high - 6 - off)
        places += [((middle, foot), "middle") for foot in feet]
        places += [((left, foot), "start") for foot in feet] + [((right, foot), "end") for foot in feet]
        beside = half + 3 + tall / 2
        places += [((right + 6 + off, beside), "start"), ((left - 6 - off, beside), "end")]
        places += [((left, foot), "end") for foot in feet] + [((right, foot), "start") for foot in feet]
    return places


def _to_the_edge(points: list[Point], box: Sequence[Point] | None) -> list[Point]:
    """A run up to the edge of the machine that it ends in, so that the words inside stay clear of it."""
    if box is None or len(points) < 2:
        return points
    xs, ys = sorted({x for x, _ in box}), sorted({y for _, y in box})

    def inside(point: Point) -> bool:
        return xs[0] < point[0] < xs[-1] and ys[0] < point[1] < ys[-1]

    kept = list(points)
    while len(kept) > 1 and inside(kept[-1]) and inside(kept[-2]):
        kept.pop()
    if len(kept) > 1 and inside(kept[-1]):
        (x1, y1), (x2, y2) = kept[-2], kept[-1]
        x = x2 if x1 == x2 else xs[0] if x1 < x2 else xs[-1]
        y = y2 if y1 == y2 else ys[0] if y1 < y2 else ys[-1]
        kept[-1] = (x, y)
    return kept


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
