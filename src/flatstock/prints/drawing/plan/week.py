"""The week as slabs on shelves: a shelf a day and hot press, each slab as long as it is hot and as thick as it is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any

from flatstock.prints.clock_face import ClockFace
from flatstock.prints.drawing.plan.hours import Hours
from flatstock.prints.drawing.svg import INK, QUIET, RULE, THIN, Drawing
from flatstock.prints.plan_view import Mould, View
from flatstock.prints.words import clock, day
from flatstock.units import System

__all__ = ["describe_week", "week_svg"]

Document = Mapping[str, Any]
LEFT, TOP, FOOT = 96.0, 22.0, 6.0


def week_svg(
    document: Document,
    width: float = 1120,
    shelf: float = 74,
    system: System = "metric",
    clock_face: ClockFace = "24h",
) -> str:
    """One shelf a day and hot press; `shelf` is its height, `system` the units that the shop reads."""
    view = View(document, system, clock_face)
    presses = view.places("hot_press")
    rows = max(1, len(view.dates) * len(presses))
    drawing = Drawing(
        width,
        TOP + rows * shelf + FOOT,
        title="The week at the hot press",
        description=describe_week(document),
    )
    if not view.dates:
        drawing.words((LEFT, TOP + 20), "Nothing is planned.")
        return drawing.svg()
    first, last = view.hours(view.dates)
    thickest = max((float(mould.sheet["thickness_mm"]) for mould in view.moulds), default=1.0)
    top = TOP
    for n, date_ in enumerate(view.dates):
        hours = Hours(drawing, date_, first, last, LEFT, width - 14)
        if n == 0:
            hours.labels(TOP - 9, face=clock_face)
        for m, press in enumerate(presses):
            hours.rules(top, top + shelf - 6)
            if m == 0:
                _day(drawing, date_, top)
            _shelf(drawing, view, hours, press, top, shelf, thickest, named=len(presses) > 1)
            top += shelf
    return drawing.svg()


def describe_week(document: Document) -> str:
    """The drawing in words."""
    view = View(document)
    said = []
    for date_ in view.dates:
        loads = [one for one in view.works_on(date_) if one.step == "load"]
        span = f", first {clock(loads[0].start)}, last {clock(loads[-1].start)}" if loads else ""
        said.append(f"{day(_noon(date_))}: {len(loads)} moulds loaded{span}")
    return "; ".join(said) + "."


def _noon(date_: date) -> datetime:
    return datetime.combine(date_, time(12))  # only its date is shown


def _day(drawing: Drawing, date_: date, top: float) -> None:
    weekday, number, month, _ = day(_noon(date_)).split()
    drawing.words((8, top + 26), weekday, size=23, bold=True)
    drawing.words((8, top + 43), f"{number} {month}", size=11)


def _shelf(
    drawing: Drawing,
    view: View,
    hours: Hours,
    press: str,
    top: float,
    shelf: float,
    thickest: float,
    *,
    named: bool,
) -> None:
    board = top + shelf - 18  # slabs stand on it, what else happens is written under it
    for one in view.settings_on(hours.day, press):
        start, end = hours.x(one.start), hours.x(one.end)
        if one.kind == "heat_up":  # a wedge: warm from nothing
            drawing.area([(start, board), (end, board), (end, board - 16)], "melting", THIN)
            drawing.words((start, board + 13), f"heat {clock(one.start)}", size=9.5)
        elif one.kind == "off":
            drawing.line((start, board - 16), (start, board + 4), INK)
            drawing.words((start + 3, board + 13), f"off {clock(one.start)}", size=9.5)
        elif one.kind in ("raise", "lower") and one.to_C is not None:
            ends = (board - 4, board - 12) if one.kind == "raise" else (board - 12, board - 4)
            drawing.curve([(start, ends[0]), (end, ends[1])], INK)
            drawing.words(
                ((start + end) / 2, board + 13), view.shown.one(one.to_C, "C"), size=9, anchor="middle"
            )
    drawing.line((hours.left, board), (hours.right, board), RULE)
    if named:
        drawing.words((hours.left - 6, board + 4), press, size=11, anchor="end")
    for mould in view.moulds:
        load = mould.work("load")
        if load is not None and press in load.places and view.day_of(load.start) == hours.day:
            _slab(drawing, hours, mould, board, shelf, thickest)


def _slab(drawing: Drawing, hours: Hours, mould: Mould, board: float, shelf: float, thickest: float) -> None:
    load, transfer = mould.work("load"), mould.work("transfer")
    if load is None or transfer is None:
        return
    start, end = hours.x(load.start), hours.x(transfer.end)
    tall = max(4.0, (shelf - 42) * float(mould.sheet["thickness_mm"]) / thickest)
    late = mould.sheet["late_min"] > 0
    drawing.box(start + 0.8, board - tall, end - start - 1.6, tall, "solid", RULE if late else INK)
    middle = (start + end) / 2
    drawing.words((middle, board - tall - 5), f"{mould.number}", size=15, anchor="middle", bold=True)
    if late:
        drawing.line((start, board + 4), (end, board + 4), QUIET.dashed("4 2"))
