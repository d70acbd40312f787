"""A stack from the side with each mould's hottest temperature, and how each cools."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from flatstock.pressing.pictures import Array, StackMould, StackPicture
from flatstock.prints.drawing.axes import Axes, round_step, ticks
from flatstock.prints.drawing.in_units import stack_in
from flatstock.prints.drawing.svg import ACCENT, INK, THIN, Drawing, Pen, Point, text_width
from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.words import clock, plastic_name

__all__ = ["describe_stack", "stack_svg"]

#: one pattern a mould, repeated: told apart without colour, and each is named at its end
_DASHES = ("", "9 3", "3 3", "9 3 2 3", "14 4", "2 5")


def stack_svg(
    picture: StackPicture, width: float = 760, height: float = 380, *, shown: Shown = METRIC
) -> str:
    """The stack from the side at the asked moment, and the hottest point of each mould against the clock."""
    said = describe_stack(picture, shown)
    picture = stack_in(picture, shown)
    drawing = Drawing(width, height, title=picture.title, description=said)
    foot = height - 52
    side = width * 0.45
    _side_view(picture, drawing, shown, left=14, right=side, top=34, foot=foot)
    _cooling(picture, drawing, shown, left=side + 56, top=34, foot=foot)
    return drawing.svg()


def describe_stack(picture: StackPicture, shown: Shown = METRIC) -> str:
    """The text alternative: each mould from the bottom with its numbers in the units shown."""
    picture = stack_in(picture, shown)
    lines = [
        f"{i}, {mould.label}: {plastic_name(mould.plastic)} {shown.size(mould.thickness * 1000)}, hottest point"
        f" {_degrees(_hottest(picture, i - 1), shown)}, may be opened {_opens(picture, mould)}"
        for i, mould in enumerate(picture.moulds, 1)
    ]
    return f"At {_when(picture, picture.asked)}, from the bottom: " + "; ".join(lines) + "."


def _hottest(picture: StackPicture, mould: int) -> float | None:
    """The hottest point of a mould at the asked moment; None where it has not arrived."""
    known = np.isfinite(picture.hottest[:, mould])
    if picture.asked < picture.moulds[mould].arrives or not known.any():
        return None
    return float(np.interp(picture.asked, picture.times[known], picture.hottest[known, mould]))


def _degrees(heat: float | None, shown: Shown) -> str:
    return "not there yet" if heat is None else f"{heat:.0f} {shown.unit('C')}"


def _when(picture: StackPicture, time: float) -> str:
    return clock(picture.start + timedelta(seconds=round(time)), beside=picture.start)


def _opens(picture: StackPicture, mould: StackMould) -> str:
    return "not within the picture" if mould.opens is None else f"from {_when(picture, mould.opens)}"


def _side_view(
    picture: StackPicture,
    drawing: Drawing,
    shown: Shown,
    *,
    left: float,
    right: float,
    top: float,
    foot: float,
) -> None:
    """Moulds to scale in height, each with a bar as long as its hottest point is hot."""
    drawing.words((left, top - 14), f"Hottest point at {_when(picture, picture.asked)}", size=14, bold=True)
    highest = max(mould.top for mould in picture.moulds)
    names = left + 156
    hottest = [_hottest(picture, i) for i in range(len(picture.moulds))]
    scale = (right - names - 44) / max(*(heat or 0.0 for heat in hottest), picture.limit * 1.1)
    x = names + picture.limit * scale
    drawing.words(
        (x, foot + 30), f"open below {picture.limit:.0f} {shown.unit('C')}", size=12, anchor="middle"
    )
    for i, (mould, heat) in enumerate(zip(picture.moulds, hottest, strict=True), 1):
        y = foot - (foot - top) * mould.top / highest
        tall = (foot - top) * (mould.top - mould.bottom) / highest
        late = heat is not None and heat >= picture.limit
        long = (heat or 0.0) * scale
        drawing.box(names, y, long, tall, "solid" if late else "#ffffff", INK)
        drawing.line((names, y), (right, y), THIN)
        middle = y + tall / 2 + 5
        size = min(13.0, max(8.0, tall * 0.9))
        drawing.words((left, middle), str(i), size=size, bold=True)
        drawing.words((left + 16, middle), mould.label, size=size)
        drawing.words(
            (names - 6, middle),
            f"{plastic_name(mould.plastic)} {shown.size(mould.thickness * 1000)}",
            size=size,
            anchor="end",
        )
        said, start = _degrees(heat, shown), names + long + 5
        if x - text_width(said, size, late) - 3 < start < x + 3:
            start = x + 5  # the line of the limit would go through it
        drawing.words((start, middle), said, size=size, bold=late, ground=tall > 17)
    drawing.line((x, top - 4), (x, foot), ACCENT.dashed("6 3"))
    drawing.line((left, foot), (right, foot), Pen(width=4))
    drawing.words((left, foot + 16), "foot of the stack", size=12)


def _cooling(
    picture: StackPicture, drawing: Drawing, shown: Shown, *, left: float, top: float, foot: float
) -> None:
    hours = picture.times / 3600
    highest = float(np.nanmax(picture.hottest)) + 8
    axes = Axes(drawing, left, top, drawing.width - 22, foot, float(hours[0]), float(hours[-1]), 0, highest)
    axes.clear()
    drawing.words(
        (left - 34, top - 14), f"{shown.unit('C')}, hottest point of each mould", size=14, bold=True
    )
    step = round_step(float(hours[-1] - hours[0]), 7, steps=(1, 2, 3, 6, 12))
    at = ticks(float(hours[0]), float(hours[-1]), step)
    axes.across([(v, _when(picture, v * 3600).split()[-1]) for v in at], grid=False)
    axes.up([(v, f"{v:g}") for v in ticks(0, highest, round_step(highest, 6))])
    axes.drawing.line(
        (axes.left, axes.y(picture.limit)), (axes.right, axes.y(picture.limit)), ACCENT.dashed("6 3")
    )
    asked = axes.x(picture.asked / 3600)
    axes.drawing.line((asked, axes.top), (asked, axes.bottom), INK.dashed("2 3"))
    axes.drawing.words(
        (asked - 4, axes.top + 12),
        f"asked {_when(picture, picture.asked)}",
        size=12,
        anchor="end",
        ground=True,
    )
    curves = [_curve(axes, picture, i, mould) for i, mould in enumerate(picture.moulds)]
    for i, points in enumerate(curves):
        if points:
            axes.drawing.curve(points, Pen(width=1.3).dashed(_DASHES[i % len(_DASHES)]))
    _numbers(axes, curves, _limit(axes, curves, picture.limit))
    axes.rules()


def _curve(axes: Axes, picture: StackPicture, mould: int, named: StackMould) -> list[Point]:
    """The hottest point of one mould against time, from its arrival on."""
    thin = np.linspace(picture.times[0], picture.times[-1], 260)
    there = thin >= named.arrives
    known = np.isfinite(picture.hottest[:, mould])
    if not known.any():
        return []
    values = np.interp(thin, picture.times[known], picture.hottest[known, mould])
    return axes.points(thin[there] / 3600, values[there])


def _limit(axes: Axes, curves: list[list[Point]], limit: float) -> list[Point]:
    """Name the limit on its line, at the end where the curves leave more room; points on the words."""
    text, y = f"open below {limit:.0f}", axes.y(limit) - 5
    wide = text_width(text, 12, True)
    ends = {axes.left + 5: axes.left, axes.right - wide - 5: axes.right - wide - 10}

    def crossed(start: float) -> int:
        return sum(start < x < start + wide + 10 and y - 16 < at < y + 6 for line in curves for x, at in line)

    x = min(ends, key=lambda one: crossed(ends[one]))
    axes.drawing.words((x, y), text, size=12, bold=True, ground=True)
    return [(x + share * wide, y - 4) for share in (0.0, 0.25, 0.5, 0.75, 1.0)]


def _numbers(axes: Axes, curves: list[list[Point]], words: list[Point]) -> None:
    """Each mould's number on its curve, where the other curves and the numbers placed before are farthest."""
    placed = [*words]
    last = max(
        (points[0][0] for points in curves if points), default=0.0
    )  # earlier, arrivals cross each other
    for i, points in enumerate(curves):
        if not points:
            continue
        others = [np.array(other).T for j, other in enumerate(curves) if j != i and other]

        def room(at: Point, others: list[Array] = others) -> float:
            curve = min(
                (abs(float(np.interp(at[0], x, y)) - at[1]) for x, y in others if x[0] <= at[0]), default=20.0
            )
            near = min((max(abs(at[0] - x) / 1.2, abs(at[1] - y)) for x, y in placed), default=40.0)
            return min(curve, 12.0) + 2 * min(near, 16.0)

        late = [at for at in points if at[0] > last + 6][:-12]
        best = max(late or points, key=room)
        placed.append(best)
        axes.drawing.words(
            (best[0], best[1] + 4), str(i + 1), size=11, anchor="middle", bold=True, ground=True
        )
