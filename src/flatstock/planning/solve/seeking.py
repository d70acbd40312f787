"""One level made as small as can be: as a whole, then piece by piece, from the best plan so far."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace

from flatstock.planning.solve.course import MANY, Course, Goal, Heard
from flatstock.planning.solve.cpsat import Answer, Search, Settings, Var, evaluate, improve
from flatstock.planning.solve.neighbours import better_nearby, held_but
from flatstock.planning.solve.tidy import tidy

__all__ = ["colder", "no_hotter_than_needed", "piece_by_piece", "seek"]

LEAST_PIECE = 0.5  #: s
COLDER = 0.5  #: of the time left, for a plan with a stay left cold
SAME_MOULDS = 1.0  #: s at most, to heat no longer than a plan's moulds need


def seek(course: Course, goal: Goal, seconds: float, *, start: Sequence[int] = ()) -> Answer:
    """Make a goal as small as can be; `start`: values to hint at where there is no plan yet."""
    began = time.monotonic()
    course.given += seconds
    course.model.m.minimize(goal.sum)
    pieces = course.best is not None and not course.repeatable and seconds >= goal.nearby

    def heard(values: Sequence[int], value: float, bound: float) -> bool:
        course.known.append(Answer("feasible", values, value, bound, 0.0))
        return course.told(goal, value, bound)

    answer = improve(
        course.model.tidied(),
        seconds=seconds * (goal.whole if pieces else 1.0),
        hint=start if course.best is None else course.best.values,
        tell=heard,
        repair=course.best is None and bool(start),
        repeatable=course.repeatable,
    )
    course.status = answer.status
    course.stopped = answer.stopped or course.stopped
    if answer.values is not None:
        course.best = answer
    # in a short time it may not even have come upon the plan that it was given
    if pieces and answer.status in ("feasible", "unknown") and not course.stopped:
        piece_by_piece(course, goal, answer.bound or 0.0, began + seconds)
    return answer


def piece_by_piece(course: Course, goal: Goal, bound: float, end: float) -> None:
    """What the search of the whole has not found, until `end` by the clock; a goal's own way has every other turn."""
    assert course.best is not None
    was = goal.of(course.best)

    def heard(values: Sequence[int], value: float) -> bool:
        course.take(Answer("feasible", values, value, bound, 0.0))
        return course.told(goal, value, bound) or value <= bound

    try:
        turn = 0
        while not course.stopped and (left := end - time.monotonic()) > LEAST_PIECE:
            turn += 1
            before = goal.of(course.best)
            if goal.between is not None and turn % 2 == 1:
                goal.between(left, heard)
            else:
                have = course.best.values or ()
                better_nearby(course.model, goal.sum, have, seconds=left, tell=heard, seed=turn)
            if goal.of(course.best) <= bound or (turn > 2 and goal.of(course.best) >= before):
                break
    except KeyboardInterrupt:
        course.stopped = True
    if goal.of(course.best) < was:
        values = tidy(course.model, course.week, course.best)
        if values is not None:
            course.best = replace(course.best, values=values)


def colder(course: Course, goal: Var, seconds: float, heard: Heard) -> None:
    """A plan with one stay of one press left cold: asked for as a whole, it is found sooner than by saving minute by
    minute. `goal`: what is sought, of which it has less."""
    assert course.best is not None
    energy, used = course.model.energy, [used for _, _, used in course.model.heated.values()]
    fewer = course.model.tidied()
    fewer.add(sum(used) <= sum(course.best(one) for one in used) - 1)
    fewer.add(energy <= int(evaluate(energy, course.best)) - 1)
    fewer.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    answer = improve(fewer, seconds=seconds * COLDER, workers=MANY)
    course.stopped = answer.stopped or course.stopped
    if answer.values is not None:
        heard(answer.values, evaluate(goal, answer))


def no_hotter_than_needed(course: Course, goal: Goal) -> None:
    """The best plan with every mould where it is and the presses heated for no longer than these need: a plan for
    whose heat no time was left has presses on all day for one mould, or for none."""
    assert course.best is not None
    assert course.best.values is not None
    piece = held_but(course.model, course.best.values, ())
    piece.minimize(goal.sum)
    answer = Search(piece, Settings(SAME_MOULDS, repeatable=course.repeatable)).run(lambda *_: False)
    if answer.values is not None and goal.of(answer) < goal.of(course.best):
        course.take(replace(course.best, values=answer.values))
