"""What is wrong with a plan of a week: minutes late and sheets without a time, by order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flatstock.planning.dispatch.sawing import worth
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.week import Week

__all__ = ["Lack", "short"]


@dataclass(frozen=True, slots=True)
class Lack:
    """What is wrong with a plan, by order: late minutes of what it has, and sheets that it does not have."""

    late: Mapping[str, int]
    missing: Mapping[str, int]
    #: sheets late, minutes late, sheets not done by closing: less is better
    worth: tuple[float, float, float]

    @property
    def nothing(self) -> bool:
        """Every sheet has its time, none is late."""
        return not self.late and not self.missing


def short(week: Week, schedule: Schedule) -> Lack:
    """What is wrong with a plan of a week."""
    late: dict[str, int] = {}
    missing: dict[str, int] = {}
    for sheet in week.sheets:
        run = schedule.runs.get(sheet.id)
        if run is None:
            missing[sheet.order] = missing.get(sheet.order, 0) + 1
        elif sheet.due is not None and run.ready > sheet.due:
            late[sheet.order] = late.get(sheet.order, 0) + run.ready - sheet.due
    return Lack(late, missing, worth(week, schedule.runs))
