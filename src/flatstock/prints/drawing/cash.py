"""Cash month by month below what can be made a week."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.drawing.axes import Axes, round_step, ticks
from flatstock.prints.drawing.svg import INK, QUIET, RULE, THIN, Drawing, Point

__all__ = ["cash_svg", "describe_cash"]

Document = Mapping[str, Any]


def cash_svg(document: Document, width: float = 760, height: float = 300) -> str:
    """Steps of capacity and of what is made above, cash with the overdraft's line below."""
    drawing = Drawing(width, height, title="Sheets a week and cash", description=describe_cash(document))
    months = document["by_month"]
    middle = height * 0.42
    _sheets(
        drawing,
        document,
        months,
        Axes(drawing, 62, 20, width - 8, middle - 12, 0, len(months), 0, _top(document)),
    )
    lows = [min(one["cash_paid_to"], one["cash_end"]) for one in months]
    least = min([*lows, -document["overdraft"], 0.0])
    most = max([document["cash_start"], *(one["cash_end"] for one in months), 1.0])
    span = (most - least) or 1.0
    axes = Axes(
        drawing, 62, middle + 18, width - 8, height - 24, 0, len(months), least - span * 0.05, most + span * 0.05
    )  # fmt: skip
    _cash(drawing, document, months, axes)
    return drawing.svg()


def describe_cash(document: Document) -> str:
    """The drawing in words."""
    months = document["by_month"]
    lowest = min(months, key=lambda one: min(one["cash_paid_to"], one["cash_end"]))
    return (
        f"Cash starts at {document['cash_start']:.0f}, is lowest in month {lowest['month']} at"
        f" {min(lowest['cash_paid_to'], lowest['cash_end']):.0f}, and ends at {months[-1]['cash_end']:.0f};"
        f" capacity goes from {months[0]['capacity_per_week']:g} to {months[-1]['capacity_per_week']:g} sheets a week."
    )


def _top(document: Document) -> float:
    most = max((float(one["capacity_per_week"]) for one in document["by_month"]), default=0.0)
    asked = max((float(one) for one in document["demand_per_week"]), default=0.0)
    return max(most, asked, 1.0) * 1.12


def _steps(axes: Axes, values: list[float]) -> list[Point]:
    """A value held through each month."""
    xs = [x for month in range(len(values)) for x in (month, month + 1)]
    return axes.points(xs, [value for value in values for _ in range(2)])


def _sheets(drawing: Drawing, document: Document, months: list[Document], axes: Axes) -> None:
    step = round_step(axes.y_high, 4)
    axes.up([(v, f"{v:g}") for v in ticks(0, axes.y_high, step)])
    drawing.words(
        (axes.left, axes.top - 7), "sheets a week: can be made (heavy), asked for (dashed)", size=12
    )
    drawing.curve(_steps(axes, list(document["demand_per_week"])), QUIET.dashed("5 3"))
    drawing.curve(_steps(axes, [one["capacity_per_week"] for one in months]), RULE)
    axes.rules()


def _cash(drawing: Drawing, document: Document, months: list[Document], axes: Axes) -> None:
    step = round_step(axes.y_high - axes.y_low, 5)
    axes.up([(v, f"{v:,.0f}".replace(",", " ")) for v in ticks(axes.y_low, axes.y_high, step)])
    every = max(1, round(round_step(len(months), 12)))
    axes.across([(month, str(month)) for month in range(0, len(months) + 1, every)], grid=False)
    drawing.words((axes.left, axes.top - 7), "cash (after paying, and at the month's end)", size=12)
    drawing.line((axes.left, axes.y(0)), (axes.right, axes.y(0)), THIN)
    if document["overdraft"] > 0:
        y = axes.y(-document["overdraft"])
        drawing.line((axes.left, y), (axes.right, y), QUIET.dashed("2 3"))
        drawing.words((axes.right, y - 4), "overdraft", anchor="end", size=11, ground=True)
    xs, ys = [0.0], [document["cash_start"]]
    for one in months:
        xs += [one["month"], one["month"] + 1]
        ys += [one["cash_paid_to"], one["cash_end"]]
    drawing.curve(axes.points(xs, ys), INK)
    axes.rules()
