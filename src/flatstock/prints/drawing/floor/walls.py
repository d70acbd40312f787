"""Walls, doors with their leaves, columns, beams, supply points."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import cos, pi, sin
from typing import Any

from flatstock.prints.drawing.floor.labels import EDGE, Anchor, Labels
from flatstock.prints.drawing.floor.view import View, length_words
from flatstock.prints.drawing.svg import INK, QUIET, THIN, Drawing, Pen, Point, text_width

__all__ = ["BEAM", "draw_walls", "name_walls"]

Document = Mapping[str, Any]
WALL = Pen(width=5)
BEAM = QUIET.dashed("16 3 2 3 2 3")  # dash and two dots: what is above the floor; the trolley has one dot


def draw_walls(drawing: Drawing, view: View, room: Document, labels: Labels) -> None:
    """Everything of the room that is there before anything stands in it, without its names."""
    for column in room.get("columns") or ():
        drawing.area(view.corners(column), "#111111")
        labels.keep(view.corners(column), EDGE)
    for low in room.get("low") or ():
        drawing.curve(view.corners(low), BEAM, closed=True)
    corners = [view.at(*corner) for corner in room["outline_mm"]]
    drawing.curve(corners, WALL, closed=True)
    labels.keep_line(corners, EDGE, closed=True)
    for door in room.get("doors") or ():
        _door(drawing, view, room, door)
    for point in room.get("supply_points") or ():
        x, y = view.at(point["x_mm"], point["y_mm"])
        drawing.box(x - 4, y - 4, 8, 8, "#ffffff", INK)


def name_walls(drawing: Drawing, view: View, room: Document, labels: Labels, system: str) -> None:
    """The names of doors, columns, beams and supply points, where they hide least of what is drawn already."""
    for door in room.get("doors") or ():
        words = _door_words(door)
        labels.put(drawing, _at_door(view, room, door, words), [words], size=9, bold=True)
    for point in room.get("supply_points") or ():
        at = view.at(point["x_mm"], point["y_mm"])
        labels.put(drawing, _round(at, 4), [f"{point['id']} {point['kind']}"], size=8)
    for column in room.get("columns") or ():
        labels.put(drawing, _on_column(view, column), [str(column["id"])], size=8)
    for low in room.get("low") or ():
        words = f"{low['id']} {length_words(low['height_mm'], system)} clear"
        labels.put(drawing, _along(view, low), [words], size=8)


def _round(at: Point, half: float) -> list[tuple[Point, Anchor]]:
    """Beside a small thing: below on the right, on the left, above."""
    x, y = at
    sides: list[tuple[float, Anchor]] = [(x + half + 2, "start"), (x - half - 2, "end")]
    return [((left, foot), anchor) for foot in (y + half + 8, y - half - 4, y + 3) for left, anchor in sides]


def _on_column(view: View, box: Document) -> list[tuple[Point, Anchor]]:
    """On something solid where it has room for its name, else beside it."""
    (left, low), (right, high) = (
        view.at(box["x_mm"], box["y_mm"]),
        view.at(box["x_mm"] + box["length_mm"], box["y_mm"] + box["width_mm"]),
    )
    x, y = (left + right) / 2, (low + high) / 2
    on: list[tuple[Point, Anchor]] = [((x, y + 3), "middle")]
    inside = text_width(str(box["id"]), 8) + 4 <= right - left and low - high >= 12
    beside: list[tuple[Point, Anchor]] = [
        ((right + 3, y + 3), "start"), ((left - 3, y + 3), "end"), ((x, high - 4), "middle"), ((x, low + 9), "middle"),
    ]  # fmt: skip
    return on if inside else beside


def _along(view: View, box: Document) -> list[tuple[Point, Anchor]]:
    """On a beam: its middle, then further and further from it to its ends."""
    x, y, long, wide = (box[key] for key in ("x_mm", "y_mm", "length_mm", "width_mm"))
    shares = [0.5 + side * n / 40 for n in range(20) for side in (1, -1)]
    spots = [
        (x + share * long, y + wide / 2) if long >= wide else (x + long / 2, y + share * wide)
        for share in shares
    ]
    return [((at[0], at[1] + 3), "middle") for at in (view.at(*spot) for spot in spots)]


def _door(drawing: Drawing, view: View, room: Document, door: Document) -> None:
    a, b = (door["x1_mm"], door["y1_mm"]), (door["x2_mm"], door["y2_mm"])
    drawing.line(view.at(*a), view.at(*b), Pen(colour="#ffffff", width=7))
    drawing.line(view.at(*a), view.at(*b), THIN.dashed("3 2"))
    inward = _inward(room, a, b)
    opens = door.get("opens", "out")
    side = -1 if opens == "out" else 1
    if opens in ("out", "in"):
        _leaf(drawing, view, a, b, (inward[0] * side, inward[1] * side))
    elif opens == "in_double":
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        _leaf(drawing, view, a, middle, inward)
        _leaf(drawing, view, b, middle, inward)


def _door_words(door: Document) -> str:
    return " ".join(
        [str(door["id"]), *["EXIT"] * bool(door.get("exit")), *["goods"] * bool(door.get("goods"))]
    )


def _at_door(view: View, room: Document, door: Document, words: str) -> list[tuple[Point, Anchor]]:
    """Where its leaf sweeps outside, if it does: in the room the walks meet at the door. Else inside, or outside."""
    a, b = (door["x1_mm"], door["y1_mm"]), (door["x2_mm"], door["y2_mm"])
    inward = _inward(room, a, b)
    swept = view.long(abs(b[0] - a[0]) + abs(b[1] - a[1]))
    outside = door.get("opens", "out") == "out" and text_width(words, 9, True) <= swept
    places = []
    for dx, dy in [(-inward[0], -inward[1]), inward][:: 1 if outside else -1]:
        anchor: Anchor = "end" if dx < 0 else "start" if dx > 0 else "middle"
        for share in (0.5, 0.25, 0.75):
            x, y = view.at(a[0] + share * (b[0] - a[0]) + dx * 150, a[1] + share * (b[1] - a[1]) + dy * 150)
            places.append(((x, y + (4 if dx else 4 - 8 * dy)), anchor))
    return places


def _leaf(
    drawing: Drawing, view: View, hinge: tuple[float, float], end: tuple[float, float], into: tuple[int, int]
) -> None:
    """An open leaf and the quarter circle that it sweeps."""
    shut = (end[0] - hinge[0], end[1] - hinge[1])
    long = abs(shut[0]) + abs(shut[1])
    opened = (into[0] * long, into[1] * long)
    steps = [n * pi / 32 for n in range(17)]
    arc = [
        view.at(
            hinge[0] + shut[0] * cos(t) + opened[0] * sin(t), hinge[1] + shut[1] * cos(t) + opened[1] * sin(t)
        )
        for t in steps
    ]
    drawing.curve(arc, THIN.dashed("4 3"))
    drawing.line(view.at(*hinge), arc[-1], INK)


def _inward(room: Document, a: tuple[float, float], b: tuple[float, float]) -> tuple[int, int]:
    """The direction from a door into the room; the outline may run either way round."""
    corners = [tuple(corner) for corner in room["outline_mm"]]
    turn = list(pairwise([*corners, corners[0]]))
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turn)
    for (x1, y1), (x2, y2) in turn:
        on_x = x1 == x2 == a[0] == b[0] and min(y1, y2) <= min(a[1], b[1]) and max(a[1], b[1]) <= max(y1, y2)
        on_y = y1 == y2 == a[1] == b[1] and min(x1, x2) <= min(a[0], b[0]) and max(a[0], b[0]) <= max(x1, x2)
        if on_x or on_y:
            dx, dy = (x2 > x1) - (x2 < x1), (y2 > y1) - (y2 < y1)
            return (-dy, dx) if area > 0 else (dy, -dx)
    return (0, 1)
