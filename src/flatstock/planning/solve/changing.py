"""The last level: fewest minutes of changing set-point and colour, and of plans with as few the one that heats for
less."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from flatstock.planning.solve.course import Course, Goal, Heard
from flatstock.planning.solve.first import near
from flatstock.planning.solve.in_order import kinds_in_order
from flatstock.planning.solve.seeking import piece_by_piece, seek
from flatstock.planning.solve.turns import add_turns
from flatstock.planning.solve.week_model import SOONER

__all__ = ["CHANGES", "fewest_changes"]

CHANGES = "changeover_min"
A_CHANGE = 10_000_000  #: Wh that a minute of changing outweighs: more than any week has
FEW = 8  #: sheets at most of a week whose changes are sought as a whole
ROUNDING = 1e-6  #: what the solver's bound may lack of a whole number


def fewest_changes(course: Course) -> float:
    """The best plan with fewer changes, in the time that is left; how few any plan with the levels before it has, as
    far as that is proved."""
    assert course.best is not None
    model, turns = course.model, add_turns(course.model)
    total = A_CHANGE * SOONER * turns.minutes + model.energy_soonest

    def in_order(left: float, heard: Heard) -> None:
        assert course.best is not None
        kinds_in_order(model, turns, total, course.best.values or (), seconds=left, tell=heard)

    goal = Goal(CHANGES, total, unit=A_CHANGE * SOONER, between=in_order)
    model.m.minimize(total)
    values = near(model.m, model.chains, course.best.values or (), around=0, grown=True)
    if values is None:
        return 0.0
    course.best = replace(course.best, values=values)
    if len(course.week.sheets) > FEW and not course.repeatable:
        piece_by_piece(course, goal, 0.0, course.began + course.seconds)
        return 0.0
    answer = seek(course, goal, course.left)
    return goal.told(float(ceil((answer.bound or 0.0) - ROUNDING)))
