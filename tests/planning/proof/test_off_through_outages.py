"""A hot press that is out of order is not held hot: its heaters go off, and it is warmed up again after it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.actions.mending import goings
from flatstock.planning.check import judge
from flatstock.planning.dispatch.kept_order import in_kept_order
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.clock import Span
from flatstock.planning.solve.first import as_in
from flatstock.planning.solve.search import search
from flatstock.planning.solve.week_model import WeekModel
from tests.planning.proof.test_latest_dwell import LOADED, as_planned, in_the_press
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week

OUT = Span(20, 30)
WARM = 2  #: minutes: heat-up and soak


def with_an_outage(week, out=OUT):
    return replace(week, sites={**week.sites, "HP1": replace(week.sites["HP1"], absent=(out,))})


def ahead():
    """Two sheets due soon, two later; the press is to fail between."""
    kind = tiny_kind("dark", frames=("F1", "F2", "F3", "F4"), skins=("S1", "S2", "S3", "S4"))
    people = [person("A", (0, 60)), person("B", (0, 60))]
    wanted = [(kind, 20), (kind, 20), (kind, 60), (kind, 60)]
    return with_an_outage(tiny_week(wanted, end=60, people=people, frames=kind.frames, skins=kind.skins))


def by_rules(week):
    return dispatch(week).schedule


def mended(week):
    return in_kept_order(week, as_planned(15, load=17))


def by_search(week):
    return search(week, seconds=2, by_rule=False).schedule


def apart(schedule, out=OUT):
    """Whether no heater is on through the outage, and each load has a heat-up before it."""
    spans = schedule.heated["HP1"]
    loads = [run.load for run in schedule.runs.values() if run.load >= out.end]
    return all(b <= out.start or a >= out.end for a, b in spans) and all(
        any(a + WARM <= load < b for a, b in spans) for load in loads
    )


@pytest.mark.parametrize("way", [by_rules, by_search])
def test_heaters_are_off_through_an_outage_to_come_and_warm_up_again_after_it(way):
    schedule = way(ahead())
    assert len(schedule.runs) == 4
    assert {run.load >= OUT.end for run in schedule.runs.values()} == {True, False}
    assert apart(schedule)


@pytest.mark.parametrize("way", [by_rules, mended, by_search])
def test_a_mould_that_is_in_the_press_when_it_fails_is_brought_to_its_end_and_no_more(way):
    out = Span(12, 30)
    week = with_an_outage(in_the_press(), out)
    schedule = way(week)
    first, second = schedule.runs["01"], schedule.runs["02"]
    assert LOADED + 4 <= first.transfer <= LOADED + 6
    spans = schedule.heated["HP1"]
    assert [b for a, b in spans if a < out.end] == [first.transfer + 1]
    assert second.load >= out.end + WARM
    model = WeekModel(week)
    assert as_in(model.m, week, model.chains, model.heated, schedule)


def test_the_heat_model_is_asked_with_platens_that_are_warmed_up_anew():
    week = ahead()
    orders = {sheet.order: None for sheet in week.sheets}
    asked = goings(lambda *_: None, orders, week, by_rules(week))
    after = [one for one in asked if one.laid > 60 * OUT.end]
    assert after
    assert all(60 * OUT.end <= one.hot_from <= one.laid - 60 * WARM for one in after)


def test_an_empty_press_that_fails_is_off_at_once():
    week = with_an_outage(replace(ahead(), now=5, hot={"HP1": (Span(0, 5),)}), Span(5, 30))
    for schedule in (by_rules(week), by_search(week)):
        assert apart(schedule, Span(5, 30))
        assert (0, 5) in schedule.heated["HP1"]


def test_the_document_tells_the_outage_and_the_judge_passes_such_a_plan_and_no_hot_one():
    week = ahead()
    found = search(week, seconds=2)
    document = document_of(week, found)
    press = next(one for one in document["resources"] if one["id"] == "HP1")
    assert press["out_of_order"] == [{"start": week.clock.text(20), "end": week.clock.text(30)}]
    assert judge(document) == []
    (last,) = [one for one in document["settings"] if one["kind"] == "off"][-1:]
    document["settings"] = [one for one in document["settings"] if one["kind"] != "off"] + [last]
    assert "hot_while_out" in {one.rule for one in judge(document)}
