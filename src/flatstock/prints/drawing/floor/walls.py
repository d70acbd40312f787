"""Walls, doors with their leaves, columns, beams, supply points."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import cos, pi, sin
from typing import Any, Literal

from flatstock.prints.drawing.floor.view import View, length_words
from flatstock.prints.drawing.svg import INK, QUIET, THIN, Drawing, Pen, text_width

__all__ = ["draw_walls"]

Document = Mapping[str, Any]
WALL = Pen(width=5)


def draw_walls(drawing: Drawing, view: View, room: Document, system: str) -> None:
    """Everything of the room that is there before anything stands in it."""
    for column in room.get("columns") or ():
        drawing.area(view.corners(column), "#111111")
        _name_beside(drawing, view, column)
    for low in room.get("low") or ():
        drawing.curve(view.corners(low), QUIET.dashed("12 3 2 3"), closed=True)
        _name(drawing, view, low, f"{low['id']} {length_words(low['height_mm'], system)} clear")
    corners = [view.at(*corner) for corner in room["outline_mm"]]
    drawing.curve(corners, WALL, closed=True)
    for door in room.get("doors") or ():
        _door(drawing, view, room, door)
    for point in room.get("supply_points") or ():
        x, y = view.at(point["x_mm"], point["y_mm"])
        drawing.box(x - 4, y - 4, 8, 8, "#ffffff", INK)
        words = f"{point['id']} {point['kind']}"
        into = x + 6 + text_width(words, 8) < view.at(view.right_mm, 0)[0]
        at: float
        side: Literal["start", "end"]
        at, side = (x + 6, "start") if into else (x - 6, "end")
        drawing.words((at, y + 12), words, size=8, anchor=side, ground=True)


def _name_beside(drawing: Drawing, view: View, box: Document) -> None:
    """The name of something solid: on it where it has room, else beside it."""
    x, y = view.at(box["x_mm"] + box["length_mm"] / 2, box["y_mm"] + box["width_mm"] / 2)
    name, wide = str(box["id"]), view.long(box["length_mm"])
    inside = text_width(name, 8) + 4 <= wide and view.long(box["width_mm"]) >= 12
    if inside:
        drawing.words((x, y + 3), name, size=8, anchor="middle", ground=True)
        return
    right = x + wide / 2 + 3
    fits = right + text_width(name, 8) < view.at(view.right_mm, 0)[0]
    at: float
    side: Literal["start", "end"]
    at, side = (right, "start") if fits else (x - wide / 2 - 3, "end")
    drawing.words((at, y + 3), name, size=8, anchor=side, ground=True)


def _name(drawing: Drawing, view: View, box: Document, words: str) -> None:
    x, y = view.at(box["x_mm"] + box["length_mm"] / 2, box["y_mm"] + box["width_mm"] / 2)
    drawing.words((x, y + 3), words, size=8, anchor="middle", ground=True)


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
    words = [door["id"]] + (["EXIT"] if door.get("exit") else []) + (["goods"] if door.get("goods") else [])
    # what opens outward is named where its leaf sweeps, if it can be: in the room the walks meet at the door
    swept = view.long(abs(b[0] - a[0]) + abs(b[1] - a[1]))
    outside = opens == "out" and text_width(" ".join(words), 9, True) <= swept
    dx, dy = (-inward[0], -inward[1]) if outside else inward
    x, y = view.at((a[0] + b[0]) / 2 + dx * 150, (a[1] + b[1]) / 2 + dy * 150)
    anchor: Literal["start", "middle", "end"] = "end" if dx < 0 else "start" if dx > 0 else "middle"
    below = 4 if dx else 4 - 8 * dy
    drawing.words((x, y + below), " ".join(words), size=9, anchor=anchor, bold=True, ground=True)


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
