"""Moulds that would melt others again in a stack are kept from those alone: among their like they lie as before."""

from dataclasses import replace

import pytest

from flatstock.planning.dispatch.rule import dispatches
from flatstock.planning.problem.week import Site
from flatstock.planning.solve.cpsat import plain
from flatstock.planning.solve.fitted_again import fitted_again, no_longer_fit
from flatstock.planning.solve.search import search
from flatstock.planning.solve.week_model import WeekModel
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

STACK = Site(id="ST1", kind="stack", capacity=4, more={"order": "last_in_first_out"})
COLD = 40  #: minutes under pressure before a hot one may lie with a soft one


def a_week(*, soft=1, hot=2, due=32, rest=12, melts=("soft",), **asks):
    """Soft moulds and hot ones, in one stack and no rack; in the press it takes an hour to demould them."""
    things = {"whole": 60, "cool": 2, "rest": {"ST1": rest}, "frames": ("F1", "F2", "F3")}
    kinds = {name: tiny_kind(name, **things) for name in ("soft", "hot")}
    wanted = [(kinds["soft"], due)] * soft + [(kinds["hot"], due)] * hot
    week = tiny_week(
        wanted, end=200, people=[person("A", (0, 200)), person("B", (0, 200))], stays=(STACK,), frames=("F1", "F2", "F3")
    )  # fmt: skip
    asked = asks or {"stack": COLD, "melts": melts}
    return replace(
        week, sheets=tuple(one.asks(**asked) if one.kind.key == "hot" else one for one in week.sheets)
    )


def together(one, other):
    return one.stay and one.stay == other.stay and one.leave < other.demould and other.leave < one.demould


def laid_hot_beside(week, runs):
    """Pairs of a hot mould that has not cooled for long enough and a soft one, in the stack at the same time."""
    kinds = {sheet.id: sheet.kind.key for sheet in week.sheets}
    return [
        (a, b)
        for a in runs for b in runs
        if (kinds[a], kinds[b]) == ("hot", "soft") and together(runs[a], runs[b])
        and runs[a].leave - runs[a].transfer - week.times.transfer < COLD
    ]  # fmt: skip


def test_without_being_told_the_plan_lays_a_hot_mould_with_a_soft_one():
    week = a_week(melts=(), cool=1)
    found = search(week, seconds=5, repeatable=True, levels=3)
    assert laid_hot_beside(week, found.schedule.runs)


def test_what_would_melt_another_is_never_laid_with_it_hot():
    week = a_week()
    found = search(week, seconds=5, repeatable=True, levels=3)
    assert len(found.schedule.runs) == 3
    assert (found.levels[0].value, found.levels[0].bound) == (1, 1)  # one of the three has to wait for it
    assert laid_hot_beside(week, found.schedule.runs) == []


def test_among_its_like_it_is_laid_as_soon_as_it_may_be_opened():
    """With minutes asked wherever it lies with others three such moulds are not in time."""
    everywhere = search(a_week(soft=0, hot=3, due=40, stack=COLD), seconds=5, repeatable=True, levels=3)
    beside_soft_ones = search(a_week(soft=0, hot=3, due=40), seconds=5, repeatable=True, levels=3)
    assert everywhere.levels[0].bound > 0
    assert beside_soft_ones.levels[0].value == 0


@pytest.mark.parametrize("soft", [1, 2])
def test_no_rule_lays_them_together_hot(soft):
    week = a_week(soft=soft)
    for one in dispatches(week):
        assert laid_hot_beside(week, one.schedule.runs) == []


def test_a_plan_that_lays_them_together_no_longer_fits_and_both_are_named():
    told = a_week()
    runs = search(a_week(melts=(), cool=1), seconds=5, repeatable=True, levels=3).schedule.runs
    wrong = no_longer_fit(told, runs)
    assert wrong >= {name for pair in laid_hot_beside(told, runs) for name in pair}
    assert wrong
    cold = replace(told, sheets=tuple(replace(one, melts=frozenset(), stack_least=0) for one in told.sheets))
    assert no_longer_fit(cold, runs) == set()


def test_such_a_plan_is_brought_to_fit_again():
    told = a_week()
    found = search(a_week(melts=(), cool=1), seconds=5, repeatable=True, levels=3)
    model = WeekModel(told)
    model.m.minimize(model.late_sheets)
    plans = list(fitted_again(model, found.values, found.schedule.runs, seconds=5))
    assert plans
    for values in plans:
        runs = model.schedule(plain(values)).runs
        assert laid_hot_beside(told, runs) == []
        assert no_longer_fit(told, runs) == set()


def test_a_mould_that_is_too_warm_in_a_stack_may_be_demoulded_in_its_press_as_before():
    """What is asked of one place holds there."""
    (sheet,) = a_week(soft=0, hot=1, melts=(), stays={"ST1": 150}).sheets
    assert sheet.rests("ST1") == 150
    assert sheet.rest_least == 0
    found = search(a_week(soft=0, hot=1, due=80, stays={"ST1": 150}), seconds=5, repeatable=True, levels=3)
    assert found.levels[0].value == 0
    assert {run.stay for run in found.schedule.runs.values()} == {None}
