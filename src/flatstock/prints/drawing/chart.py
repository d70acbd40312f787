"""Charge and dwell against thickness, a line a plastic."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.prints.chart_words import usual_rows
from flatstock.prints.drawing.axes import Axes, legible_ticks, round_step, ticks
from flatstock.prints.drawing.svg import Drawing, Pen, text_width
from flatstock.prints.numbers import number
from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.words import plastic_name

__all__ = ["charge_dwell_svg", "describe_chart"]

_DASHES = ("", "9 3", "3 3", "9 3 2 3", "14 4", "2 5", "14 3 2 3 2 3")
LABEL = 14.0  #: of the name beside each line
Rows = Sequence[Mapping[str, object]]


def charge_dwell_svg(
    document: Mapping[str, Any], width: float = 760, height: float = 300, *, shown: Shown = METRIC
) -> str:
    """Charge [kg] and advised dwell [min] over thickness [mm] of a wall chart, as an SVG document.

    One line a plastic, at its usual set-point; in the units of `shown`.
    """
    groups: dict[tuple[str, float], list[Mapping[str, object]]] = defaultdict(list)
    for row in usual_rows(document["rows"]):
        groups[str(row["plastic"]), number(row["set_point_C"]).value or 0.0].append(row)
    title = f"Charge and dwell on {document['press']}"
    drawing = Drawing(width, height, title=title, description=describe_chart(document))
    middle = width / 2
    longest = max((text_width(_label(*key, shown), LABEL, False) for key in groups), default=0.0)
    beside = min(max(84.0, longest + 16), 0.3 * width)  # a plastic of the shop's own may have a long name
    mass = f"charge, {shown.unit('kg')}"
    _panel(drawing, groups, "charge_kg", mass, left=50, right=middle + 10 - beside, shown=shown)
    _panel(
        drawing,
        groups,
        "dwell_advised_min",
        "dwell, minutes",
        left=middle + 36,
        right=width - 8 - beside,
        shown=shown,
    )
    return drawing.svg()


def describe_chart(document: Mapping[str, Any]) -> str:
    """The text alternative: each row with its charge and dwell."""
    said = [
        f"{plastic_name(str(row['plastic']))} {row['thickness_mm']} mm at {row['set_point_C']} °C:"
        f" {number(row['charge_kg']).value} kg, {number(row['dwell_advised_min']).value} min"
        for row in document["rows"]
    ]
    return "; ".join(said) + "."


def _panel(
    drawing: Drawing,
    groups: Mapping[tuple[str, float], Rows],
    field: str,
    caption: str,
    *,
    left: float,
    right: float,
    shown: Shown,
) -> None:
    curves = {
        key: sorted(
            (shown.convert(t, "mm"), shown.convert(v, "kg") if field == "charge_kg" else v)
            for row in rows
            if (t := number(row["thickness_mm"]).value) is not None
            and (v := number(row[field]).value) is not None
        )
        for key, rows in groups.items()
    }
    known = [point for curve in curves.values() for point in curve]
    if not known:
        return
    across, up = max(t for t, _ in known) * 1.06, max(v for _, v in known) * 1.08
    axes = Axes(drawing, left, 30, right, drawing.height - 42, 0, across, 0, up)
    axes.clear()
    drawing.words((left - 30, 16), caption, size=14, bold=True)
    axes.across(legible_ticks(across, axes.right - axes.left), caption=f"sheet, {shown.unit('mm')}")
    axes.up([(v, f"{v:g}") for v in ticks(0, up, round_step(up, 6))])
    labels: list[tuple[float, float, str]] = []
    for i, ((plastic, set_point), curve) in enumerate(sorted(curves.items())):
        if not curve:
            continue
        drawing.curve(
            axes.points(*zip(*curve, strict=True)), Pen(width=1.6).dashed(_DASHES[i % len(_DASHES)])
        )
        for t, v in curve:
            drawing.box(axes.x(t) - 2.5, axes.y(v) - 2.5, 5, 5, "#111111")
        end, height = curve[-1]
        labels.append((axes.y(height) + 4, axes.x(end) + 6, _label(plastic, set_point, shown)))
    for (_, x, words), y in zip(
        sorted(labels), _apart([y for y, _, _ in sorted(labels)], axes.bottom), strict=True
    ):
        drawing.words((x, y), words, size=LABEL)
    axes.rules()


def _label(plastic: str, set_point: float, shown: Shown) -> str:
    return f"{plastic_name(plastic)} {shown.digits(set_point, 'C')}"


def _apart(heights: Sequence[float], bottom: float, least: float = 16.0) -> list[float]:
    """Rising label heights moved apart so that none covers another, and none runs below `bottom`.

    >>> _apart([10, 12, 40], 100)
    [10, 26.0, 42.0]
    >>> _apart([95, 96, 97], 100)
    [68.0, 84.0, 100]
    """
    placed: list[float] = []
    for height in heights:
        placed.append(max(height, placed[-1] + least) if placed else height)
    ceiling = bottom
    for i in range(len(placed) - 1, -1, -1):
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - least
    return placed
