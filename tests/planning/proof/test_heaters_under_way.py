"""Heaters that are on stay on at least until the mould that is being taken out is out."""

from __future__ import annotations

from dataclasses import replace

from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.week import Done
from flatstock.planning.solve.search import search
from tests.planning.proof.test_latest_dwell import HANDS, in_the_press, works

OUT = 18  #: minute


def being_taken_out():
    """The week's only mould, two minutes into its transfer."""
    week = in_the_press(now=OUT - 2)
    (first, _) = week.sheets
    taken = works(("transfer", OUT - 4, OUT, ("HP1", "CP1"), HANDS))
    done = Done(works=first.done.works + taken, frame="F1", skins="S1", figures={})
    return replace(week, sheets=(replace(first, done=done),))


def test_by_a_search():
    found = search(being_taken_out(), seconds=3, by_rule=False)
    assert found.schedule.heated["HP1"][-1][1] == OUT


def test_by_the_rules():
    assert dispatch(being_taken_out()).schedule.heated["HP1"][-1][1] == OUT
