"""A mould that nobody can take out once its advised dwell is over is taken out sooner, if it has melted through."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import SimpleNamespace

import pytest

from flatstock.actions.remembered import remembering
from flatstock.planning.overdue import overdue
from flatstock.planning.problem.stranded import out_sooner, stranded
from flatstock.planning.solve.search import search
from tests.planning.proof.test_latest_dwell import LOADED, in_the_press

LEAST, ADVISED = 3, 6


@dataclass
class Orders:
    """A shop of which nothing is on file but its orders."""

    orders: dict[str, SimpleNamespace]


def with_a_band(there):
    """Its coldest point reaches the target after 3 minutes, 6 are advised, and 6 are the latest."""
    week = in_the_press(there=there)
    first, second = week.sheets
    dwell = {"HP1": replace(first.kind.dwell["HP1"], least=LEAST, planned=ADVISED)}
    return replace(week, sheets=(replace(first, kind=replace(first.kind, dwell=dwell)), second))


@pytest.mark.parametrize(("gone", "leaves"), [(15, 14), (14, 13)])
def test_as_late_as_two_people_are_there_between_the_least_and_the_advised(gone, leaves):
    week = with_a_band(((0, gone), (58, 60)))
    (one,) = stranded(week)
    sheet = out_sooner(week, one)
    assert sheet is not None
    week = replace(week, sheets=(sheet, week.sheets[1]))
    assert list(stranded(week)) == []
    found = search(week, seconds=2)
    assert found.schedule.runs["01"].transfer == leaves
    (words,) = overdue(week, found.schedule)
    assert f"after {leaves - LOADED} min where {ADVISED} are advised" in words


def test_the_dwell_that_is_remembered_of_its_order_is_the_one_advised():
    week = with_a_band(((0, 15), (58, 60)))
    (one,) = stranded(week)
    week = replace(week, sheets=(out_sooner(week, one),))
    shop = Orders({one.sheet.order: SimpleNamespace(recipe=("hdpe", "dark"))})
    (kept,) = remembering(shop, week)["kinds"].values()
    assert kept["dwell"]["HP1"]["planned"] == ADVISED


def test_not_before_its_coldest_point_has_reached_the_target():
    week = with_a_band(((0, 13), (58, 60)))
    (one,) = stranded(week)
    assert out_sooner(week, one) is None
