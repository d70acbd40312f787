"""Core and face of the charge against time, with the target and what the platens do."""

from __future__ import annotations

import numpy as np

from flatstock.pressing.pictures import Array, ThicknessPicture
from flatstock.prints.drawing.axes import Axes, round_step, ticks
from flatstock.prints.drawing.svg import ACCENT, INK, QUIET, Drawing, Pen
from flatstock.prints.shown import METRIC, Shown

__all__ = ["core_svg", "draw_core"]

_PLATEN = QUIET.dashed("1 3")


def core_svg(picture: ThicknessPicture, width: float = 760, height: float = 230) -> str:
    """Core, hottest face and platen sensors against time, as an SVG document."""
    drawing = Drawing(width, height, title=f"{picture.title}: core and face", description=_describe(picture))
    draw_core(picture, drawing, top=54, bottom=height - 38)
    return drawing.svg()


def _describe(picture: ThicknessPicture) -> str:
    reached = np.nonzero(picture.core >= picture.target)[0]
    when = f"at {picture.times[reached[0]] / 60:.1f} minutes" if reached.size else "not within the picture"
    lowest = min(float(np.min(picture.bottom)), float(np.min(picture.top)))
    return (
        f"The core reaches {picture.target:.0f} °C {when}. The platen sensors, set to"
        f" {picture.set_point:.0f} °C, fall to {lowest:.0f} °C at most."
    )


def draw_core(
    picture: ThicknessPicture,
    drawing: Drawing,
    shown: Shown = METRIC,
    *,
    top: float,
    bottom: float,
    named: bool = True,
) -> Axes:
    """Put the curves on a drawing between two heights; returns their axes.

    The picture's temperatures are in the unit shown already (`thickness_in`).
    """
    minutes = picture.times / 60
    highest = max(float(np.max(picture.face)), float(np.max(picture.bottom)), picture.set_point) * 1.12
    axes = Axes(
        drawing, 46, top, drawing.width - 14, bottom, float(minutes[0]), float(minutes[-1]), 0, highest
    )
    axes.clear()
    step = round_step(axes.x_high - axes.x_low, 14)
    axes.across([(v, f"{v:g}") for v in ticks(axes.x_low, axes.x_high, step)], caption="minutes", grid=False)
    axes.up(
        [(v, f"{v:g}") for v in ticks(0, highest, round_step(highest, max(2, (bottom - top) / 22)))],
        caption=shown.unit("C"),
    )
    _level(axes, picture.set_point, f"set-point {picture.set_point:.0f}", INK.dashed("10 4"), above=True)
    _level(axes, picture.target, f"target {picture.target:.0f}", INK.dashed("5 3"), above=False)
    for sensor in (picture.bottom, picture.top):
        axes.drawing.curve(_curve(axes, minutes, sensor), _PLATEN)
    axes.drawing.curve(
        _curve(axes, minutes, picture.face), Pen(colour=ACCENT.colour, width=1.4).dashed("8 2 2 2")
    )
    axes.drawing.curve(_curve(axes, minutes, picture.core), Pen(colour=ACCENT.colour, width=2.8))
    _name(axes, minutes, picture.core, "core", 0.32, 24)
    _name(axes, minutes, picture.face, "face", 0.08, 20)
    if named:
        axes.named(picture.moments, per=60)
    axes.rules()
    return axes


def _curve(axes: Axes, minutes: Array, values: Array) -> list[tuple[float, float]]:
    thin = np.linspace(minutes[0], minutes[-1], 240)
    return axes.points(thin, np.interp(thin, minutes, values))


def _level(axes: Axes, value: float, text: str, pen: Pen, *, above: bool) -> None:
    y = axes.y(value)
    axes.drawing.line((axes.left, y), (axes.right, y), pen)
    axes.drawing.words(
        (axes.right - 4, y - 4 if above else y + 14), text, size=12, anchor="end", bold=True, ground=not above
    )


def _name(axes: Axes, minutes: Array, values: Array, text: str, share: float, below: float) -> None:
    at = minutes[0] + share * (minutes[-1] - minutes[0])
    y = axes.y(float(np.interp(at, minutes, values)))
    axes.drawing.words(
        (axes.x(float(at)) + 6, min(y + below, axes.bottom - 5)), text, size=13, bold=True, ground=True
    )
