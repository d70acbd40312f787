"""What a week that is under way has dried already."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from flatstock.planning.problem.clock import Clock
from flatstock.planning.problem.drying import KEEPS
from flatstock.planning.problem.week import Sheet
from flatstock.workshop.today import Happened

__all__ = ["dried"]

LAST_CALL = 30  #: minutes from now that a charge out of the dryer needs to come into the press at all


def dried(
    sheet: Sheet, row: Happened | None, task: Mapping[str, Any] | None, *, clock: Clock, now: int
) -> Sheet:
    """The sheet with when its charge was in the dryer: as written, else as planned; too long ago counts for none.

    `row`: of done.csv; `task`: of the plan before.
    """

    def planned(key: str) -> int:
        assert task is not None
        return clock.minute(datetime.fromisoformat(task[key]))

    if row is None and (task is None or planned("start") >= now):
        return sheet
    start = planned("start") if row is None else clock.minute(row.start)
    named = [*(row.places if row is not None else ()), *(task["places"] if task is not None else ())]
    place = next((p for p in named if p in sheet.kind.dry), None)
    if place is None:
        return sheet
    end = start + sheet.kind.dry[place]
    if row is not None and row.end is not None:
        end = max(start + 1, clock.minute(row.end))
    weigh = sheet.work("weigh")
    if weigh is None and end + KEEPS < now + LAST_CALL:
        return sheet
    return replace(sheet, dried=(start, end if weigh is None else min(end, weigh.start), place))
