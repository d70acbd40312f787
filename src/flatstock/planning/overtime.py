"""Minutes at work outside the hours on file: none is ever planned, what was begun may have run over."""

from __future__ import annotations

from collections.abc import Mapping

from flatstock.planning.problem.clock import joined
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Week

__all__ = ["overtime"]


def overtime(week: Week, schedule: Schedule, people: Mapping[tuple[str, str], tuple[str, ...]]) -> int:
    """Over everybody, minutes of steps that lie outside their hours."""
    there = {one.id: joined(one.present) for one in week.people}
    sheets = {sheet.id: sheet for sheet in week.sheets}
    total = 0
    for name, run in schedule.runs.items():
        for step in steps_of(week, sheets[name], run):
            for who in people.get((step.sheet, step.name), ()):
                inside = sum(
                    max(0, min(step.end, span.end) - max(step.start, span.start))
                    for span in there.get(who, ())
                )
                total += step.end - step.start - inside
    return total
