"""Nine readings of a sheet as it lay in the press, with an arrow from thin to thick and where to raise the platen."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from flatstock.prints.drawing.svg import INK, QUIET, RULE, Drawing, Point
from flatstock.prints.shown import METRIC, Shown

__all__ = ["thickness_map_svg"]

ENOUGH = 0.05e-3  # m/m of slope below which no arrow is drawn


def thickness_map_svg(
    readings: Sequence[tuple[float, float, float]],
    size: tuple[float, float],
    slopes: tuple[float, float],
    *,
    known: bool,
    shown: Shown = METRIC,
    width: float = 620,
) -> str:
    """The sheet from above, the press's front edge below.

    Parameters
    ----------
    readings
        x from the left edge, y from the front edge, thickness [m].
    size
        Length along x and width along y [m].
    slopes
        Of the plane along x and y [m/m].
    known
        Whether the press's directions are: else the edges are those of the sheet as it was measured.
    """
    left, top, right = 40.0, 44.0, width - 40.0
    deep = (right - left) * size[1] / size[0]
    bottom = top + deep
    drawing = Drawing(
        width, bottom + 46, title="Thickness", description=_said(readings, slopes, known, shown)
    )

    def at(x: float, y: float) -> Point:
        return left + x / size[0] * (right - left), bottom - y / size[1] * deep

    drawing.box(left, top, right - left, deep, "#ffffff", RULE)
    thick = max((t for _, _, t in readings), default=0.0)
    thin = min((t for _, _, t in readings), default=0.0)
    steep = hypot(*slopes)
    if steep > ENOUGH:
        _arrow(drawing, (left + right) / 2, (top + bottom) / 2, slopes, min(right - left, deep) * 0.62)
    for x, y, t in readings:
        px, py = at(x, y)
        px, py = min(max(px, left + 34), right - 34), min(max(py, top + 20), bottom - 12)
        drawing.words(
            (px, py + 5), shown.digits(t * 1000, "mm", 2), size=17, anchor="middle", bold=True, ground=True
        )
        word = "thickest" if t == thick else "thinnest" if t == thin else ""
        if word and thick > thin:
            drawing.words((px, py - 14), word, size=11, anchor="middle", ground=True)
    drawing.words(((left + right) / 2, bottom + 20), "front of the press" if known else "front edge as measured",
                  anchor="middle")  # fmt: skip
    drawing.words((left, top - 12), f"left; {shown.unit('mm')}", size=12)
    drawing.words((right, top - 12), "right", anchor="end", size=12)
    return drawing.svg()


def _arrow(drawing: Drawing, x: float, y: float, slopes: tuple[float, float], long: float) -> None:
    """From thin to thick."""
    steep = hypot(*slopes)
    dx, dy = slopes[0] / steep * long / 2, -slopes[1] / steep * long / 2
    tip = (x + dx, y + dy)
    drawing.line((x - dx, y - dy), tip, QUIET)
    ux, uy = dx / (long / 2), dy / (long / 2)
    for side in (1, -1):
        drawing.line(tip, (tip[0] - 13 * ux + side * 7 * uy, tip[1] - 13 * uy - side * 7 * ux), INK)


def _said(
    readings: Sequence[tuple[float, float, float]], slopes: tuple[float, float], known: bool, shown: Shown
) -> str:
    told = ", ".join(shown.digits(t * 1000, "mm", 2) for _, _, t in readings)
    where = "front left of the press" if known else "front left as measured"
    sides = [
        f"thicker to the {'right' if slopes[0] > 0 else 'left'}" if abs(slopes[0]) > ENOUGH else "",
        f"thicker to the {'back' if slopes[1] > 0 else 'front'}" if abs(slopes[1]) > ENOUGH else "",
    ]
    said = " and ".join(one for one in sides if one) or "level"
    return f"Readings from the {where}, row by row: {told} {shown.unit('mm')}; {said}."
