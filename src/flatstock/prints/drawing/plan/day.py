"""A day as moulds passing from place to place, who has hands on them, and what the phases carry beneath."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any

from flatstock.prints.clock_face import ClockFace
from flatstock.prints.drawing.plan.amps import AMPS, draw_amps
from flatstock.prints.drawing.plan.hours import Hours
from flatstock.prints.drawing.plan.lanes import Lane, draw_lane, lanes_of, threads
from flatstock.prints.drawing.plan.people import PERSON, draw_person
from flatstock.prints.drawing.svg import QUIET, RULE, Drawing
from flatstock.prints.plan_view import View
from flatstock.prints.words import clock
from flatstock.prints.words import day as day_of
from flatstock.units import System

__all__ = ["day_svg", "describe_day"]

Document = Mapping[str, Any]
LEFT, TOP, BETWEEN = 78.0, 26.0, 12.0


def day_svg(
    document: Document,
    day: date,
    width: float = 1120,
    system: System = "metric",
    clock_face: ClockFace = "24h",
) -> str:
    """One day: places above, people below them, amperes on each phase beneath, all on the same hours; `system`: the
    units that the shop reads."""
    view = View(document, system, clock_face)
    first, last = view.hours([day])
    lanes = lanes_of(view, day)
    people = [person for person in view.people() if view.presence(person, day)]
    places_end = TOP + sum(lane.height for lane in lanes)
    people_end = places_end + BETWEEN + PERSON * len(people)
    height = people_end + BETWEEN + 3 * AMPS + 10
    title = f"The day, {day_of(datetime.combine(day, time(0)))}"
    drawing = Drawing(width, height, title=title, description=describe_day(document, day, system))
    hours = Hours(drawing, day, first, last, LEFT, width - 10)
    hours.labels(TOP - 12, face=clock_face)
    hours.rules(TOP, height - 8)
    tops: dict[str, float] = {}
    top = TOP
    for lane in lanes:
        tops[lane.place] = top
        _head(drawing, lane, top)
        draw_lane(hours, view, lane, top)
        top += lane.height
    threads(hours, view, lanes, tops)
    drawing.line((0, places_end + BETWEEN / 2), (width - 10, places_end + BETWEEN / 2), RULE)
    top = places_end + BETWEEN
    for person in people:
        drawing.words((4, top + 17), person, size=12, bold=True)
        draw_person(hours, view, person, top)
        top += PERSON
    drawing.line((0, people_end + BETWEEN / 2), (width - 10, people_end + BETWEEN / 2), RULE)
    draw_amps(hours, view, people_end + BETWEEN)
    return drawing.svg()


def _head(drawing: Drawing, lane: Lane, top: float) -> None:
    drawing.words((4, top + min(lane.height - 6, 18)), lane.place, size=12, bold=True)
    drawing.line((0, top + lane.height), (drawing.width - 10, top + lane.height), QUIET.dashed("1 3"))


def describe_day(document: Document, day: date, system: System = "metric") -> str:
    """The drawing in words."""
    view = View(document, system)
    said = []
    for mould in view.moulds:
        load, transfer = mould.work("load"), mould.work("transfer")
        if load is not None and transfer is not None and view.day_of(load.start) == day:
            said.append(
                f"mould {mould.number}, {mould.name}, hot from {clock(load.start)} to {clock(transfer.end)}"
            )
    most = [max((amps[n] for _, _, amps in view.amps(day)), default=0.0) for n in range(3)]
    phases = ", ".join(f"L{n + 1} up to {amps:.1f} A" for n, amps in enumerate(most))
    return f"{'; '.join(said) or 'Nothing is pressed'}. {phases}."
