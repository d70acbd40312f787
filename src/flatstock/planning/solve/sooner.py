"""Of plans that are equal in every level, the one whose sheets are pressed and ready soonest.

Nothing that is sought before says when in a free week a sheet without a due date is pressed: as it comes, on the last
day as well as on the first. People begin as soon as hands and presses are there.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import replace

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.changing import CHANGES
from flatstock.planning.solve.course import HEAT, Course, Goal
from flatstock.planning.solve.cpsat import Var, completed, plain
from flatstock.planning.solve.first import near
from flatstock.planning.solve.found import Found
from flatstock.planning.solve.naming import named
from flatstock.planning.solve.seeking import seek
from flatstock.planning.solve.settings import changeover
from flatstock.planning.solve.turns import add_turns
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["sooner"]

DAY = 24 * 60
AROUND = 60  #: minutes by which a step may lie elsewhere in a day than it did in another
MOVING, SHORTEST = 1.5, 0.1  #: s for a day that is moved, and with which nothing more is begun


def sooner(
    week: Week, found: Found, *, seconds: float, tell: Callable[[str, float, float], bool]
) -> Found | None:
    """A plan of the same week with no level worse and its sheets out of the hot presses and ready sooner, summed over
    them; None: none was found in the time. No sheet is loaded only to wait in its press: its stay counts too.

    `found`: a plan that was made of this very week and goes on from none.
    """
    course = Course(week, seconds, lambda *_: tell("trying", 0.0, 0.0), repeatable=False)
    model, values = course.model, {one.name: int(one.value) for one in found.levels}
    for name, total in (
        ("over_latest_min", model.over_latest),
        ("late_sheets", model.late_sheets),
        ("late_min", model.late_minutes),
        ("sheets_after_closing", model.unfinished),
        (HEAT, model.energy),
    ):
        if total is not None and name in values:
            model.m.add(total <= values[name])
    model.m.add(add_turns(model).minutes <= values.get(CHANGES, 0))
    pressed = [chain for chain in model.chains if found.schedule and chain.sheet.id in found.schedule.runs]
    for chain in pressed:
        model.m.add(chain.on == 1)
    total = sum(2 * chain.transfer - chain.load + chain.ready for chain in pressed)
    model.m.minimize(total)
    have = near(model.m, model.chains, found.values, around=0, grown=True)
    if have is None:
        return None
    was = plain(have)
    course.take(was)
    goal = Goal("soonest", total)
    if (moved := _days_sooner(course, have)) is not None:
        course.take(plain(moved))
    if course.left > SHORTEST and not course.stopped:
        seek(course, goal, course.left)
    better = [
        one for one in (*course.known, *([course.best] if course.best else [])) if goal.of(one) < goal.of(was)
    ]
    for answer in sorted(better, key=goal.of):
        whole = named(course, answer, {})
        if whole is not None and changeover(week, whole[0]) <= values.get(CHANGES, 0):
            kept = (answer.values or ())[: len(found.values)]
            return replace(found, schedule=whole[0], people=whole[1], values=kept)
    return None


def _days_sooner(course: Course, values: Sequence[int]) -> Sequence[int] | None:
    """What is pressed in a stay put, as it is, into the first one that is free, for each stay in turn; None: nowhere.

    Piece by piece a whole day is seldom moved: every sheet of it has to go at once.
    """
    week, model, found = course.week, course.model, None
    for late in week.supervised():
        inside = _loaded_in(model, values, late)
        for free in week.supervised() if inside else ():
            if free.start >= late.start or course.left <= SHORTEST or course.stopped:
                break
            if not _loaded_in(model, values, free):
                by = DAY * round((late.start - free.start) / DAY)
                moved = completed(
                    model.m, list(_put(model, values, inside, by)), seconds=min(MOVING, course.left)
                )
                if moved is not None:
                    values = found = moved
                    break
    return found


def _loaded_in(model: WeekModel, values: Sequence[int], stay: Span) -> set[str]:
    return {
        c.sheet.id
        for c in model.chains
        if values[c.on.index] and stay.start <= values[c.load.index] < stay.end
    }


def _put(
    model: WeekModel, values: Sequence[int], names: Container[str], by: int
) -> Iterator[tuple[Var, int, int]]:
    """Some sheets about so many minutes sooner, in the same places, all others to the minute."""
    for chain in model.chains:
        around = AROUND if chain.sheet.id in names else 0
        held = [chain.on, *chain.press.values(), *chain.cooling.values(), *chain.stay.values()]
        yield from ((one, values[one.index], values[one.index]) for one in held)
        for start in (chain.load, chain.transfer, chain.leave, chain.demould):
            about = values[start.index] - (by if around else 0)
            yield start, about - around, about + around
