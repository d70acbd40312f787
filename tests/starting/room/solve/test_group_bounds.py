"""Bounds from a few things at a time: never above the best plan, on a floor without walls never above in a room."""

from __future__ import annotations

import time
from dataclasses import replace
from math import inf

import pytest

from flatstock.starting.room.question import Flow
from flatstock.starting.room.solve.groups import group_bounds, groups_of
from flatstock.starting.room.solve.plane import arrangements, plane_bound
from tests.starting.room.making import ask, box, work
from tests.starting.room.solve.oracle import a_room, best_of_all


@pytest.mark.parametrize("seed", range(1, 60, 5))
def test_groups_never_say_more_than_the_best_of_all_plans(seed):
    question = a_room(seed)
    least = best_of_all(question)
    if least is None:
        return
    bound = sum(group.bound for group in group_bounds(question, until=time.monotonic() + 30))
    assert bound <= least + 1e-6


@pytest.mark.parametrize("seed", range(2, 60, 6))
def test_a_floor_without_walls_is_never_worse_though_plans_that_walk_more_are_not_looked_at(seed):
    question = a_room(seed)
    question = replace(question, items=tuple(replace(item, placed=None) for item in question.items))
    least = best_of_all(question)
    if least is None or not question.flows:
        return
    for most in (inf, least * 1.2 + 0.1):
        bound = plane_bound(question, until=time.monotonic() + 30, most=most, stop=lambda: False)
        assert bound <= least + 1e-6


def test_two_benches_face_to_face_share_one_standing_place():
    """Two things with zones as wide as deep may have one middle: nothing is walked, and no bound is above that."""
    a, b = (box(name, 800, 600, [work(depth=800)]) for name in "AB")
    question = ask(a, b, flows=(Flow(start="A.work", to="B.work", trips_per_day=10),), grid=100)
    assert plane_bound(question, until=time.monotonic() + 20, stop=lambda: False) == 0


def test_an_exclusive_zone_keeps_them_a_zone_apart():
    """Exclusive zones 800 mm deep on fronts 800 mm long: side by side their middles are 0.8 m apart, ten times a day."""
    a, b = (box(name, 800, 600, [work(depth=800, exclusive=True)]) for name in "AB")
    question = ask(a, b, flows=(Flow(start="A.work", to="B.work", trips_per_day=10),), grid=100)
    assert plane_bound(question, until=time.monotonic() + 20, stop=lambda: False) == pytest.approx(8.0)
    for cluster in arrangements(question, walk=8.0, count=3, until=time.monotonic() + 20, stop=lambda: False):
        zones = [item.zone_as_placed(item.zones[0], cluster[item.id]).centre_twice for item in question.items]
        legs = sum(abs(p - q) for p, q in zip(*zones, strict=True)) / 2
        assert 800 <= legs <= 1000


def test_every_flow_counts_in_one_group(demo_room):
    flows = [flow for _, some in groups_of(demo_room) for flow in some]
    assert sorted(map(repr, flows)) == sorted(map(repr, demo_room.flows))
