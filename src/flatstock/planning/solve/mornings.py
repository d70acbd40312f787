"""Charges are weighed on the day they are pressed, first thing, where scale and hands allow it.

The search cares for no minute of weighing before it is needed, so it may weigh a whole week on its first morning;
nobody has the boxes for that, and flake draws water while it stands. Moved here, after the search; nothing else of a
plan changes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Mapping
from dataclasses import replace

from flatstock.planning.dispatch.calendars import Calendar
from flatstock.planning.problem.clock import joined
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["weighed_that_day"]


def weighed_that_day(week: Week, schedule: Schedule) -> Schedule:
    """The same plan with each weighing that lay on an earlier day moved into the morning of its load.

    Hands are counted, not named: where nobody can be named for it, take the plan as it was. A weighing for which that
    day has no minute left stays where it is.
    """
    days = [span.start for span in joined(s for one in week.people for s in one.present)]
    mornings = {
        name: max(week.now, max((day for day in days if day <= run.load), default=week.now))
        for name, run in schedule.runs.items()
    }
    sheets = {sheet.id: sheet for sheet in week.sheets}
    early = {
        name: run
        for name, run in schedule.runs.items()
        if run.weigh < mornings[name] and sheets[name].work("weigh") is None
    }
    floor = _Floor(week, sheets, schedule.runs, early)
    kept, runs = [], dict(schedule.runs)
    for name, run in sorted(early.items(), key=lambda one: (one[1].load, one[0])):
        last = run.prepare - week.times.weigh
        minute = next((m for m in range(mornings[name], last + 1) if floor.free(run.scale, m)), None)
        if minute is None:
            kept.append(run)
        else:
            floor.take(run.scale, minute)
            runs[name] = replace(run, weigh=minute)
    for run in kept:  # somebody else's charge may be weighed in its minute now
        if not floor.free(run.scale, run.weigh):
            return schedule
        floor.take(run.scale, run.weigh)
    return replace(schedule, runs=runs)


class _Floor:
    """Scales, and how many people have nothing to do in each minute."""

    def __init__(
        self, week: Week, sheets: Mapping[str, Sheet], runs: Mapping[str, Run], early: Container[str]
    ) -> None:
        """Everything of the `runs` but the weighings of the `early` ones."""
        self.minutes = week.times.weigh
        self.idle: dict[int, int] = defaultdict(int)
        for one in week.people:
            for span in joined(one.present):
                for minute in range(span.start, span.end):
                    self.idle[minute] += 1
        self.scales = {site.id: Calendar(site.capacity) for site in week.of_kind("scale")}
        for name, run in runs.items():
            for step in steps_of(week, sheets[name], run):
                if step.name == "weigh":
                    if name in early:
                        continue
                    self.scales[run.scale].take(step.start, step.end)
                for minute in range(step.start, step.end) if step.hands else ():
                    self.idle[minute] -= step.hands

    def free(self, scale: str, start: int) -> bool:
        """Whether a charge can be weighed from this minute on."""
        end = start + self.minutes
        return self.scales[scale].free(start, end) and all(self.idle[m] > 0 for m in range(start, end))

    def take(self, scale: str, start: int) -> None:
        """It is."""
        self.scales[scale].take(start, start + self.minutes)
        for minute in range(start, start + self.minutes):
            self.idle[minute] -= 1
