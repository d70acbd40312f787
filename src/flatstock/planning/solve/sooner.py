"""Of plans that are equal in every level, the one whose sheets are pressed and ready soonest.

Nothing that is sought before says when in a free week a sheet without a due date is pressed: as it comes, on the last
day as well as on the first. People begin as soon as hands and presses are there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from flatstock.planning.problem.week import Week
from flatstock.planning.solve.changing import CHANGES
from flatstock.planning.solve.course import HEAT, Course, Goal
from flatstock.planning.solve.cpsat import Answer
from flatstock.planning.solve.first import near
from flatstock.planning.solve.found import Found
from flatstock.planning.solve.naming import named
from flatstock.planning.solve.seeking import seek
from flatstock.planning.solve.settings import changeover
from flatstock.planning.solve.turns import add_turns

__all__ = ["sooner"]


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
    was = Answer("feasible", have, None, None, 0.0)
    course.best = was
    goal = Goal("soonest", total)
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
