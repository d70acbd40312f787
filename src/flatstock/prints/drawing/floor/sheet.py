"""The plan of a room: walls, machines, zones, walks, ways out, to scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.drawing.floor.labels import LINE, Labels
from flatstock.prints.drawing.floor.margin import draw_dimensions, draw_legend, draw_scale
from flatstock.prints.drawing.floor.paths import draw_flows, draw_trolley, draw_ways_out
from flatstock.prints.drawing.floor.things import draw_box, draw_names, draw_zones
from flatstock.prints.drawing.floor.view import length_words, view_of
from flatstock.prints.drawing.floor.walls import draw_walls, name_walls
from flatstock.prints.drawing.svg import Drawing
from flatstock.prints.room_words import walking_order

__all__ = ["describe_room", "room_svg"]

Document = Mapping[str, Any]


def room_svg(document: Document, *, scale: int = 50, system: str = "metric") -> str:
    """A `flatstock.room/1` as an SVG document; `View.paper_mm` of the same scale is its size on paper."""
    view = view_of(document, scale)
    title = f"Room {document.get('shop') or ''} at 1:{scale}".replace("  ", " ")
    drawing = Drawing(*view.units, title=title, description=describe_room(document, system))
    standing = [item for item in document["items"] if item.get("x_mm") is not None]
    labels = Labels(*view.units)
    for item in standing:
        draw_zones(drawing, view, item)
        for zone in item["zones"]:
            if zone.get("x_mm") is not None:
                labels.keep_line(view.corners(zone), LINE, closed=True)
    draw_ways_out(drawing, view, document.get("ways_out") or ())
    draw_flows(drawing, view, document["flows"])
    draw_trolley(drawing, view, document)
    for item in standing:
        draw_box(drawing, view, item)
    draw_walls(drawing, view, document["room"], labels)
    for one in (*document["flows"], *(document.get("ways_out") or ())):
        labels.keep_line([view.at(*point) for point in one.get("path_mm") or ()], LINE)
    draw_names(drawing, view, standing, labels, system)
    name_walls(drawing, view, document["room"], labels, system)
    draw_dimensions(drawing, view, document["room"], system)
    draw_scale(drawing, view, system)
    draw_legend(drawing, view, document)
    return drawing.svg()


def describe_room(document: Document, system: str = "metric") -> str:
    """The text alternative: what stands where, in walking order from the exit."""
    parts = [
        f"{item['id']} {length_words(item['x_mm'], system)} from the left and {length_words(item['y_mm'], system)}"
        f" from below, turned {item.get('turned_deg') or 0} degrees"
        for item in walking_order(document)
    ]
    start = "From the exit inwards: " if parts else "Nothing stands in the room yet"
    return f"A room from above, to scale. {start}{'; '.join(parts)}."
