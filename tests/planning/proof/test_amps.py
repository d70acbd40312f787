"""A connection that bears some of what is on at once, but not all of it: the judge adds up the amperes."""

from dataclasses import replace

import pytest

from flatstock.actions.ready_later import later_on
from flatstock.planning.check import judge
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.gone import gone_for_good
from flatstock.planning.problem.too_much import too_much, too_much_for_any
from flatstock.planning.problem.week import Load
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week

PEOPLE = [person("A", (0, 40)), person("B", (0, 40)), person("C", (0, 40))]


def load(name, amps, *on_during):
    return Load(id=name, amps=(amps, amps, amps), on_during=frozenset(on_during))


def week_with(*loads, due=39, sheets=2):
    kind = tiny_kind("dark", dwell=6, cool=2, whole=3, frames=("F1", "F2"))
    week = tiny_week([(kind, due)] * sheets, end=40, people=PEOPLE, saw=True, frames=("F1", "F2"), benches=2)
    return replace(week, loads=loads, rated=20.0)


def planned(week):
    found = search(week, seconds=30)
    document = document_of(week, found)
    if document["left_out"]:
        document["proof"]["status"] = "impossible"
    assert judge(document) == []
    return found


PUMP = load("PUMP", 6.0, "load", "transfer", "press_cool")
SAW = load("SAW", 7.0, "trim")
HEAT = load("HEAT", 10.0, "heated")


def test_a_saw_that_is_too_much_only_beside_heaters_and_pump_leaves_a_week_possible():
    week = week_with(HEAT, PUMP, SAW)
    assert frozenset({"heated", "load", "trim"}) in too_much(week)
    found = planned(week)
    assert [level.value for level in found.levels[:3]] == [0, 0, 0]


def test_such_a_saw_may_run_while_the_next_mould_dwells():
    """The first of two is due before the second is out of the hot press; with the pump on nobody could saw it."""
    first, second = (
        tiny_kind(key, dwell=dwell, cool=2, whole=3, frames=("F1", "F2"))
        for key, dwell in (("dark", 2), ("blue", 20))
    )
    week = tiny_week(
        [(first, 16), (second, 39)], end=40, people=PEOPLE, saw=True, frames=("F1", "F2"), benches=2
    )
    found = planned(replace(week, loads=(HEAT, PUMP, SAW), rated=20.0))
    assert found.levels[0].value == 0
    ((_, end),) = found.schedule.heated["HP1"]
    assert found.schedule.runs["01"].trim < end


@pytest.mark.parametrize("setting", ["heat_up", "soak", "hold", "heated"])
def test_no_saw_runs_in_a_setting_of_the_heaters_that_leaves_it_no_amperes(setting):
    week = week_with(load("HEAT", 15.0, setting), SAW)
    found = planned(week)
    assert [level.value for level in found.levels[:3]] == [0, 0, 0]


def test_no_saw_runs_while_a_mould_is_cooled_by_fans_that_leave_it_no_amperes():
    week = week_with(load("FAN", 15.0, "press_cool"), SAW, due=30, sheets=3)
    planned(week)


def test_a_step_that_overloads_by_itself_is_never_planned():
    found = planned(week_with(load("SAW", 30.0, "trim")))
    assert found.schedule.runs == {}


def by_rule(*loads):
    """The same two sheets by a rule, the first of them out while the second is hot still."""
    first, second = (
        tiny_kind(key, dwell=dwell, cool=2, whole=3, frames=("F1", "F2"))
        for key, dwell in (("dark", 2), ("blue", 20))
    )
    week = tiny_week(
        [(first, 16), (second, 39)], end=40, people=PEOPLE, saw=True, frames=("F1", "F2"), benches=2
    )
    return dispatch(replace(week, loads=loads, rated=20.0)).schedule


def test_by_a_rule_too_the_saw_runs_while_heaters_are_on_if_the_connection_bears_both():
    schedule = by_rule(HEAT, SAW)
    ((_, end),) = schedule.heated["HP1"]
    assert schedule.runs["01"].trim < end


def test_by_a_rule_the_saw_keeps_clear_of_what_is_too_much_beside_it_and_of_no_more():
    schedule = by_rule(HEAT, PUMP, SAW)
    one, other = schedule.runs["01"], schedule.runs["02"]
    ((_, end),) = schedule.heated["HP1"]
    assert one.trim < end
    for start, until in ((other.load, other.load + 1), (other.transfer, other.leave)):
        assert one.trim + 1 <= start or one.trim >= until


def test_by_a_rule_a_saw_that_is_too_much_beside_heaters_runs_after_them():
    schedule = by_rule(load("HEAT", 14.0, "heated"), SAW)
    ((_, end),) = schedule.heated["HP1"]
    assert min(run.trim for run in schedule.runs.values()) >= end


def test_a_supply_that_bears_no_sheet_at_all_is_named_with_what_draws_too_much_and_bears_a_single_one_otherwise():
    """No reason was given, and by rules that know only the saw all of it was ready the week after."""
    strong = load("PUMP", 11.0, "load", "transfer", "press_cool")
    week = week_with(HEAT, strong, SAW)
    assert too_much_for_any(week) == (
        "the supply is rated 20 A, and HEAT and PUMP, which each sheet takes at once, draw 21.0 A on L1"
    )
    assert list(gone_for_good(week, week.sheets[0])) == [too_much_for_any(week)]
    found = search(week, seconds=5)
    assert not found.schedule.runs
    later = later_on(week, found.schedule, lambda _: replace(week, end=400), seconds=1.0)
    assert later.ready == {}
    assert not too_much_for_any(week_with(HEAT, PUMP, SAW))
