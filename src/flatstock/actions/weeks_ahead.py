"""How many weeks a plan reaches into: as many as a first sheet takes, or on to the week in which the rest is ready."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Any

from flatstock.planning.dispatch.rule import dispatches
from flatstock.planning.problem.week import Week

__all__ = ["MOST", "ready_until", "weeks_to", "with_room"]

MOST = 4  #: weeks that are planned by the minute


def with_room(week: Week, longer: Callable[[int], Week]) -> tuple[Week, int]:
    """The week, with as many after it as it takes until one sheet finds time in it; how many those are.

    `longer`: the same with so many more after it. A week that ends before anything could be pressed in it, as on a
    Friday afternoon, would be a plan of nothing. Where no sheet finds time in four weeks it stays as it is.
    """
    for further in range(MOST):
        asked = longer(further) if further else week
        if not asked.sheets or any(one.schedule.runs for one in dispatches(asked, most=1)):
            return asked, further
    return week, 0


def ready_until(plan: Mapping[str, Any], now: datetime) -> datetime | None:
    """Until when a plan has to reach for what it leaves out, where time in a later week is all that this wants.

    None: nothing is left out, or for another reason, or it takes more weeks than are planned by the minute.
    """
    found = [at for one in plan["left_out"] if (at := _ready(one, datetime.fromisoformat(plan["end"])))]
    return max((at for at in found if weeks_to(at, now) <= MOST), default=None)


def _ready(left: Mapping[str, Any], end: datetime) -> datetime | None:
    """When an order that a plan leaves out would be ready; in the week after where there was no time to look."""
    if "ready" in left:
        return datetime.fromisoformat(left["ready"]) if left["ready"] else None
    return end + timedelta(days=7) if "would_help" in left else None


def weeks_to(until: datetime, now: datetime) -> int:
    """How many calendar weeks a plan from `now` on reaches into that reaches to the one of `until`; this one counts.

    >>> friday = datetime(2026, 3, 6, 15, 0)
    >>> weeks_to(datetime(2026, 3, 9, 11, 0), friday), weeks_to(friday, friday)
    (2, 1)
    """
    local = until.astimezone(now.tzinfo) if until.tzinfo else until
    first, last = (one.date() - timedelta(days=one.weekday()) for one in (now, local))
    return 1 + max(0, (last - first).days // 7)
