"""Steps that have moved from the plan people work by are sought back piece by piece."""

from __future__ import annotations

from dataclasses import replace

from flatstock.planning.dispatch.kept_order import in_kept_order, minutes_moved
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.solve.beginning import Given, _Beginning
from flatstock.planning.solve.course import MOVED, Course, Goal
from flatstock.planning.solve.cpsat import evaluate, plain
from flatstock.planning.solve.first import as_in
from flatstock.planning.solve.neighbours import better_nearby
from flatstock.planning.solve.week_model import WeekModel
from tests.planning.proof.tiny import person, tiny_kind, tiny_week


def test_what_has_moved_comes_back_where_the_week_allows_it():
    kinds = [tiny_kind(key, frames=("F1", "F2"), skins=("S1", "S2")) for key in ("dark", "white")]
    people = [person("A", (0, 60)), person("B", (0, 60))]
    wanted = [(kinds[n % 2], 60) for n in range(4)]
    week = tiny_week(wanted, end=60, people=people, frames=("F1", "F2"), skins=("S1", "S2"))
    moved = dispatch(week).schedule
    later = replace(week, people=tuple(person(one.id, (9, 60)) for one in week.people))
    before = dispatch(later).schedule.runs  # everything nine minutes later or more
    model = WeekModel(week)
    goal = model.moved(before)
    model.m.minimize(goal)
    (values,) = as_in(model.m, week, model.chains, model.heated, moved)
    assert evaluate(goal, plain(values)) == minutes_moved(week, before, moved.runs) > 0
    found = better_nearby(model, goal, values, seconds=20.0, tell=lambda *_: False)
    assert evaluate(goal, plain(found)) == 0


def test_a_plan_made_anew_comes_back_near_the_one_before_where_no_more_is_late_so():
    """After a mould that was twenty minutes late every sheet of the week was on another day."""
    day, late = 24 * 60, 21
    kinds = [tiny_kind(key, frames=("F1",), latest=4) for key in ("dark", "white")]
    people = [person(name, (0, 40), (day, day + 40), (2 * day, 2 * day + 40)) for name in ("A", "B")]
    wanted = [(kinds[n % 2], 3 * day) for n in range(6)]
    week = tiny_week(wanted, end=2 * day + 40, people=people)
    evenings = [person(one.id, *((span.start + 20, span.end) for span in one.present)) for one in people]
    before = dispatch(replace(week, people=tuple(evenings))).schedule.runs
    now = replace(week, now=late)
    anew = dispatch(replace(now, sheets=now.sheets[::-1])).schedule
    course = Course(now, 20.0, lambda *_: False, repeatable=False)
    goals = [Goal("late_sheets", course.model.late_sheets), Goal(MOVED, course.model.moved(before))]
    course.take(plain(as_in(course.model.m, now, course.model.chains, course.model.heated, anew)[0]))
    far = goals[1].of(course.best)
    _Beginning(course, Given(before=before))._nearer(goals)
    assert goals[0].of(course.best) == 0
    assert goals[1].of(course.best) < 0.2 * far


def _asked_for(promised):
    """Two sheets that are promised for a minute in the plan that people work by, and a third that is asked for."""
    kinds = [tiny_kind(key, whole=6, frames=("F1",)) for key in ("dark", "white")]
    people = [person("A", (0, 60)), person("B", (0, 60))]
    wanted = [(kinds[0], 60), (kinds[0], 60), (kinds[1], 60)]
    week = tiny_week(wanted, end=60, people=people)
    *kept, new = week.sheets
    before = dispatch(replace(week, sheets=tuple(kept))).schedule.runs
    sheets = tuple(replace(one, promised=promised(before[one.id])) for one in kept)
    return replace(week, sheets=(*sheets, replace(new, due=None))), before, new.id


def test_what_is_asked_for_comes_first_where_every_promise_is_kept_with_it():
    """It came behind all the rest, and days later, since nothing moved so."""
    week, before, new = _asked_for(lambda _: 60)
    assert in_kept_order(week, before).runs[new].load > max(run.load for run in before.values())
    runs = in_kept_order(week, before, soonest={new}).runs
    assert runs[new].load == min(run.load for run in runs.values())
    assert all(runs[name].ready <= 60 for name in before)


def test_what_is_asked_for_comes_behind_where_a_promise_would_be_broken():
    week, before, new = _asked_for(lambda run: run.ready)
    runs = in_kept_order(week, before, soonest={new}).runs
    assert {name: runs[name].ready for name in before} == {name: run.ready for name, run in before.items()}
    assert runs[new].load > max(runs[name].load for name in before)
