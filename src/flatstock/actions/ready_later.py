"""When what a plan leaves out would be ready, if the weeks after it go to that."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from flatstock.actions.lacking import short
from flatstock.planning.dispatch.rule import dispatches
from flatstock.planning.document import lots_left
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.too_much import too_much_for_any
from flatstock.planning.problem.week import Week

__all__ = ["FURTHER", "Later", "later_on"]

UP_TO_CLOSING = 3  #: levels of the search: late sheets, late minutes, sheets by closing
FURTHER = 4  #: weeks after the plan in which what it leaves out is looked for a time
LATER = 2.0  #: s at least for a search in them; with less left the priority rules' plan stands
RULES = 300  #: sheets led through the shop by priority rules for each week that is looked at after this one


@dataclass(frozen=True, slots=True)
class Later:
    """When what a plan leaves out is ready if the weeks after it are planned too, by order."""

    ready: Mapping[str, datetime]
    late: Mapping[str, int]  #: minutes, over these sheets
    placed: Mapping[str, int]  #: sheets that find time then
    left: Mapping[str, int]  #: sheets that find none even then
    empty: Mapping[str, tuple[str, ...]]  #: lots that don't hold one more charge of it


def later_on(
    week: Week,
    schedule: Schedule,
    longer: Callable[[int], Week],
    *,
    seconds: float,
    say: Callable[[str], None] = lambda _: None,
) -> Later | None:
    """When the sheets that a plan leaves out are ready if it is followed and the weeks after it go to them.

    `longer`: the same week with so many more after it. The priority rules say how many weeks it takes, two of them
    where `seconds` are over; that much is then searched for what is left. None: the plan leaves nothing out.
    """
    left = tuple(sheet for sheet in week.sheets if sheet.id not in schedule.runs)
    if not left:
        return None
    say("looking when what is left out would be ready")
    lots = lots_left(week, schedule)
    after = replace(week, sheets=left, start=week.end, now=week.end, lots=lots, hot={})
    # the priority rules know only what the saw may not run beside
    plan = None if too_much_for_any(week) else _planned(after, longer, seconds=seconds)
    return _told(after, plan, lots)


def _planned(after: Week, longer: Callable[[int], Week], *, seconds: float) -> Schedule | None:
    """A plan of these sheets alone in the weeks after, in as few as the priority rules find room in for all."""
    from flatstock.planning.solve.search import search

    end, best = time.monotonic() + seconds, None
    for further in range(1, FURTHER + 1):
        asked = replace(
            longer(further), sheets=after.sheets, start=after.start, now=after.now, lots=after.lots, hot={}
        )
        plans = [one.schedule for one in dispatches(asked, most=RULES, until=lambda: time.monotonic() >= end)]
        ruled = min(plans, key=lambda plan: short(asked, plan).worth, default=None)
        whole = ruled is not None and len(ruled.runs) == len(asked.sheets)
        best = ruled or best
        remaining = end - time.monotonic()
        if ruled is None or (remaining >= LATER and (whole or further == FURTHER)):
            answer = search(asked, seconds=max(LATER, remaining), levels=UP_TO_CLOSING, like=ruled)
            known = [plan for plan in (ruled, answer.schedule) if plan is not None]
            best = min(known, key=lambda plan: short(asked, plan).worth, default=best)
        if best is not None and len(best.runs) == len(asked.sheets):
            break
    return best


def _told(after: Week, plan: Schedule | None, lots: Mapping[str, float]) -> Later:
    """`lots`: what is left of each before this plan."""
    runs = {} if plan is None else plan.runs
    ready: dict[str, datetime] = {}
    late: dict[str, int] = {}
    placed: dict[str, int] = {}
    without: dict[str, int] = {}
    left = dict(lots)
    for sheet in after.sheets:
        run = runs.get(sheet.id)
        if run is None:
            without[sheet.order] = without.get(sheet.order, 0) + 1
            continue
        placed[sheet.order] = placed.get(sheet.order, 0) + 1
        moment = after.clock.moment(run.ready)
        ready[sheet.order] = max(moment, ready.get(sheet.order, moment))
        if sheet.due is not None:
            late[sheet.order] = late.get(sheet.order, 0) + max(0, run.ready - sheet.due)
        for lot, mass in sheet.kind.lots.items():
            left[lot] = left.get(lot, 0.0) - mass
    empty = {
        sheet.order: tuple(lot for lot, mass in sheet.kind.lots.items() if left.get(lot, 0.0) < mass)
        for sheet in after.sheets
        if sheet.order in without
    }
    return Later(ready, late, placed, without, empty)
