"""The temperature through the thickness: lines of equal temperature over time and height."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np

from flatstock.pressing.pictures import Array, ThicknessPicture
from flatstock.prints.drawing.axes import Axes, round_step, ticks
from flatstock.prints.drawing.in_units import thickness_in
from flatstock.prints.drawing.isotherms import isotherm, spans_below
from flatstock.prints.drawing.svg import ACCENT, RULE, Drawing, Pen, Point, text_width
from flatstock.prints.shown import METRIC, Shown

__all__ = ["describe_thickness", "draw_thickness", "thickness_svg"]

_COLUMNS = 180  # instants drawn across; more make the file larger and the picture no clearer
LABEL = 13.0  #: of the lines' temperatures, read at arm's length on a card of 190 mm
Box = tuple[float, float, float, float]  # left, top, right, bottom of what is written
_FINE = Pen(colour=ACCENT.colour, width=1.1)


def thickness_svg(picture: ThicknessPicture, width: float = 760, height: float = 250) -> str:
    """The temperature through the charge against time, as an SVG document.

    Across: minutes. Up: millimetres over the bottom skin, under the true gap, so a heap that sinks as
    it melts is seen sinking. Hatched: still solid; dotted: melting; thin lines: equal temperature.
    """
    drawing = Drawing(width, height, title=picture.title, description=describe_thickness(picture))
    draw_thickness(picture, drawing, top=58, bottom=height - 38)
    return drawing.svg()


def describe_thickness(picture: ThicknessPicture, shown: Shown = METRIC) -> str:
    """The text alternative: what the picture says, with its numbers in the units shown."""
    picture, unit = thickness_in(picture, shown), shown.unit("C")
    moments = "; ".join(f"{one.label} at {one.time / 60:.1f} min" for one in picture.moments)
    return (
        f"Temperature through the thickness over {picture.times[-1] / 60:.0f} minutes, platens at"
        f" {picture.set_point:.0f} {unit}. The coldest point starts at {picture.core[0]:.0f} {unit} and ends at"
        f" {picture.core[-1]:.0f} {unit}; the target is {picture.target:.0f} {unit}. Solid below"
        f" {picture.melting_onset:.0f} {unit}, molten above {picture.melting_end:.0f} {unit}."
        f" Moments: {moments or 'none named'}."
    )


def draw_thickness(
    picture: ThicknessPicture,
    drawing: Drawing,
    shown: Shown = METRIC,
    *,
    top: float,
    bottom: float,
    feet: bool = True,
    rows: int = 3,
) -> Axes:
    """Put the picture on a drawing between two heights, minutes along its foot if `feet`; gives its axes.

    The picture's temperatures are in the unit shown already (`thickness_in`).
    """
    times, grid = _thinned(picture)
    share = picture.heights / (picture.heights[0] + picture.heights[-1])
    gap = np.interp(times * 60, picture.times, picture.gap) * shown.convert(1000.0, "mm")
    axes = Axes(
        drawing,
        46,
        top,
        drawing.width - 14,
        bottom,
        float(times[0]),
        float(times[-1]),
        0,
        float(np.max(gap)) * 1.04,
    )
    axes.clear()
    for level, fill in ((picture.melting_end, "melting"), (picture.melting_onset, "solid")):
        _shade(axes, times, share, grid, gap, level, fill)
    if feet:
        _minutes(axes)
    step = round_step(axes.y_high, max(2, (bottom - top) / 24))
    axes.up([(v, f"{v:g}") for v in ticks(0, axes.y_high, step)], caption=shown.unit("mm"), grid=False)
    taken: list[Box] = []
    ends = (picture.melting_onset, picture.melting_end)
    drawn = {
        level: [_placed(axes, line, times, gap) for line in isotherm(times, share, grid, level)]
        for level in _levels(picture)
    }
    for level, lines in drawn.items():
        for line in lines:
            axes.drawing.curve(line, ACCENT if level in ends else _FINE)
    axes.named(picture.moments, per=60, rows=rows)
    _skins(axes, times, gap)
    for level in ends:
        _label(axes, drawn[level], f"{level:.0f}", taken, bold=True)
    _say_states(axes, picture, times, share, grid, gap, taken)
    for level in sorted(drawn.keys() - set(ends)):
        _label(axes, drawn[level], f"{level:.0f}", taken, bold=False)
    axes.rules()
    return axes


def _thinned(picture: ThicknessPicture) -> tuple[Array, Array]:
    """Evenly spaced instants [min] and the temperatures then."""
    times = np.linspace(picture.times[0], picture.times[-1], _COLUMNS)
    columns = [
        np.interp(times, picture.times, picture.temperature[:, j]) for j in range(picture.heights.size)
    ]
    return times / 60, np.stack(columns, axis=1)


def _levels(picture: ThicknessPicture) -> list[float]:
    """The temperatures drawn: round ones, and both ends of melting in place of any close to them."""
    ends = [picture.melting_onset, picture.melting_end]
    step = round_step(picture.set_point, 4, steps=(2, 2.5, 5, 10))
    round_ones = [
        v for v in ticks(step, picture.set_point - 1, step) if min(abs(v - e) for e in ends) > step / 3
    ]
    return sorted({*round_ones, *ends})


def _shade(axes: Axes, times: Array, share: Array, grid: Array, gap: Array, level: float, fill: str) -> None:
    """Fill what is colder than `level`: a strip between each two instants with as many cold stretches."""
    spans = [spans_below(share, row, level) for row in grid]
    strips = []
    for i, (here, there) in enumerate(pairwise(spans)):
        if len(here) != len(there):
            continue
        across = (times[i], times[i + 1], times[i + 1], times[i])
        for (low, high), (low_next, high_next) in zip(here, there, strict=True):
            up = (low * gap[i], low_next * gap[i + 1], high_next * gap[i + 1], high * gap[i])
            strips.append(axes.points(across, up))
    axes.drawing.areas(strips, fill)


def _placed(axes: Axes, line: Iterable[tuple[float, float]], times: Array, gap: Array) -> list[Point]:
    return [(axes.x(t), axes.y(s * float(np.interp(t, times, gap)))) for t, s in line]


def _label(axes: Axes, lines: list[list[Point]], text: str, taken: list[Box], *, bold: bool) -> None:
    """Write a line's temperature on it, best at its latest point, only where no other words stand."""
    if not lines:
        return
    line = max(lines, key=len)
    tip = max(range(len(line)), key=lambda i: line[i][0])
    for at in (tip, *(int(share * (len(line) - 1)) for share in (0.72, 0.28, 0.6, 0.4, 0.84, 0.16))):
        box = _box(line[at], text, LABEL, bold)
        if _inside(axes, box) and not any(_meet(box, other) for other in taken):
            taken.append(box)
            x, y = line[at]
            axes.drawing.words((x, y + 5), text, size=LABEL, anchor="middle", bold=bold, ground=True)
            return


def _box(middle: Point, text: str, size: float, bold: bool) -> Box:
    wide, (x, y) = text_width(text, size, bold) + 8, middle
    return (x - wide / 2, y - size * 0.7, x + wide / 2, y + size * 0.7)


def _inside(axes: Axes, box: Box) -> bool:
    return box[0] > axes.left and box[2] < axes.right and box[1] > axes.top - 4 and box[3] < axes.bottom + 4


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _minutes(axes: Axes) -> None:
    step = round_step(axes.x_high - axes.x_low, 14)
    axes.across([(v, f"{v:g}") for v in ticks(axes.x_low, axes.x_high, step)], caption="minutes", grid=False)


def _skins(axes: Axes, times: Array, gap: Array) -> None:
    axes.drawing.curve(axes.points(times, gap), RULE)
    axes.drawing.line((axes.left, axes.bottom), (axes.right, axes.bottom), RULE)
    axes.drawing.words((axes.right - 4, axes.y(float(gap[-1])) - 6), "top skin", size=LABEL, anchor="end")


def _say_states(
    axes: Axes,
    picture: ThicknessPicture,
    times: Array,
    share: Array,
    grid: Array,
    gap: Array,
    taken: list[Box],
) -> None:
    """The words "solid" and "molten" where there is most of each."""
    middle = share.size // 2
    solid = np.nonzero(grid[:, middle] < picture.melting_onset)[0]
    molten = np.nonzero(grid.min(axis=1) > picture.melting_end)[0]
    for found, word in ((solid, "solid"), (molten, "molten")):
        if found.size < 8:
            continue
        for share_of in (0.33, 0.5, 0.2, 0.67, 0.1, 0.8):
            i = int(found[int(share_of * (found.size - 1))])
            at = (axes.x(float(times[i])), axes.y(float(share[middle] * gap[i])))
            box = _box(at, word, 14, True)
            if box[0] > axes.left and not any(_meet(box, other) for other in taken):
                taken.append(box)
                axes.drawing.words((at[0], at[1] + 5), word, size=14, anchor="middle", bold=True, ground=True)
                break
