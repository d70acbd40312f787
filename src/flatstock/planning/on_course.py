"""Whether a week that is under way goes by its plan, so that the plan itself shows what can still be kept."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.workshop.today import Today

__all__ = ["on_course"]


def on_course(plan: Mapping[str, Any], today: Today, now: datetime) -> bool:
    """Whether nothing has changed, what was to have begun by `now` has begun at its minute and ended at it, and
    nothing else has begun.

    What `today` does not tell (where a step was done, and by whom) is taken to be as planned; told otherwise, it is
    off course.
    """
    if today.absences or today.outages or today.held or today.cold:
        return False
    ahead = {(task["sheet"], task["step"]): task for task in plan["tasks"] if task["people"]}
    for row in today.done:
        task = ahead.pop((row.sheet, row.step), None)
        if (
            task is None
            or row.start != datetime.fromisoformat(task["start"])
            or (row.end or max(now, _end(task))) != _end(task)
            or (row.places and not set(row.places) <= {*task["places"], *_mould(plan, row.sheet)})
            or (row.people and set(row.people) != set(task["people"]))
        ):
            return False
    return all(datetime.fromisoformat(task["start"]) >= now for task in ahead.values())


def _end(task: Mapping[str, Any]) -> datetime:
    return datetime.fromisoformat(task["end"])


def _mould(plan: Mapping[str, Any], sheet: str) -> tuple[str, str]:
    """Frame and skins of a sheet."""
    return next((one["frame"], one["skins"]) for one in plan["sheets"] if one["id"] == sheet)
