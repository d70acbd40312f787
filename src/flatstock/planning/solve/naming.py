"""Which of the plans that a search met is taken: the best one for which every step gets its people by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.solve.course import Course, Goal
from flatstock.planning.solve.cpsat import Answer
from flatstock.planning.solve.crews import add_crews
from flatstock.planning.solve.first import near
from flatstock.planning.solve.mornings import weighed_that_day
from flatstock.planning.solve.people import name_people
from flatstock.planning.solve.settings import changeover

__all__ = ["named", "nobody_missing", "with_crews"]

Named = dict[tuple[str, str], tuple[str, ...]]


def named(course: Course, answer: Answer, before: Mapping[str, Run]) -> tuple[Schedule, Named] | None:
    """A plan with who does each step; None where no naming fits: the model counts hands by skill, which lets
    through a few plans like that."""
    week, found = course.week, course.model.schedule(answer)
    sheets = {sheet.id: sheet for sheet in week.sheets}
    # where people are at work by a plan, what it says of weighing stays
    ways = [found] if before else [weighed_that_day(week, found), found]
    for schedule in ways:
        steps = [s for name, run in schedule.runs.items() for s in steps_of(week, sheets[name], run)]
        people = name_people(week, steps, before)
        if people is not None:
            return schedule, people
    return None


def nobody_missing(course: Course, answers: Sequence[Answer], before: Mapping[str, Run]) -> list[Answer]:
    """Those of some plans whose steps all get people."""
    return [one for one in answers if named(course, one, before) is not None]


def with_crews(course: Course, wanted: Sequence[Goal], before: Mapping[str, Run]) -> None:
    """Where nobody can be named for the best plan, one as good is sought in which everybody is."""
    best = course.best
    if best is None or best.values is None or named(course, best, before) is not None:
        return
    other = next((one for one in reversed(course.known) if named(course, one, before) is not None), None)
    model = course.model
    add_crews(model.m, course.week, model.hands)
    model.m.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    values = near(model.m, model.chains, best.values, grown=True)
    if values is None:
        return
    course.take(replace(best, values=values))
    if other is not None and _worth(course, other, wanted) < _worth(course, course.best or best, wanted):
        course.best = other


def _worth(course: Course, answer: Answer, wanted: Sequence[Goal]) -> list[float]:
    """The levels' values, in their order; of two plans the less one is better."""
    changes = changeover(course.week, course.model.schedule(answer))
    return [*(goal.value(answer) for goal in wanted), float(changes)]
