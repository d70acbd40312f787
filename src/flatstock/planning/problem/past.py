"""What has been done to a sheet already, as the rest of its way has to take it."""

from __future__ import annotations

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Sheet, Week, Work

__all__ = ["ended", "hot_since", "place_of", "whole", "work"]


def work(sheet: Sheet, step: str) -> Work | None:
    """The first such step of the sheet that has begun."""
    works = sheet.done.works if sheet.done else ()
    return next((one for one in works if one.step == step), None)


def ended(sheet: Sheet, step: str) -> int | None:
    """When it ended, where it has."""
    found = work(sheet, step)
    return None if found is None else found.end


def place_of(week: Week, sheet: Sheet, step: str, *kinds: str) -> str | None:
    """Where a step that has begun takes place, of the places of these kinds."""
    found = work(sheet, step)
    places = () if found is None else found.places
    return next((p for p in places if p in week.sites and week.sites[p].kind in kinds), None)


def whole(sheet: Sheet) -> bool:
    """Whether it has been demoulded."""
    return work(sheet, "demould") is not None


def hot_since(week: Week, press: str, session: Span) -> int | None:
    """When a press that was loaded in this session must have been heated up; None where it was not."""
    loads = [
        (found.start, sheet)
        for sheet in week.sheets
        if (found := work(sheet, "load")) is not None
        and press in found.places
        and session.start <= found.start <= session.end
    ]
    if not loads:
        return None
    first, sheet = min(loads, key=lambda pair: pair[0])
    dwell = sheet.kind.dwell.get(press)
    if dwell is None:
        return first
    return max(session.start, first - week.heat_up[press, dwell.set_point] - week.times.soak)
