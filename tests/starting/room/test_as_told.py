"""What a drawn plan says of itself: each number is held against the plan that it belongs to."""

from __future__ import annotations

import pytest

from flatstock.actions.rooms import judged
from flatstock.errors import Refused
from flatstock.starting.room.plan import Plan


def told(question, document):
    with pytest.raises(Refused) as refused:
        judged(question, document, where="plan.json")
    return "\n".join(fault.what for fault in refused.value.faults)


def flow(document, start):
    return next(one for one in document["flows"] if one["from"] == start)


def test_a_plan_as_it_was_written_is_true(demo_room, drawn, demo_plan):
    answer = judged(demo_room, drawn, where="plan.json")
    assert isinstance(answer.plan, Plan)
    assert answer.plan.placements == demo_plan.placements


def test_a_plan_that_says_nothing_of_its_walks_is_true(demo_room, drawn):
    for one in drawn["flows"]:
        del one["walk_mm"], one["path_mm"]
    del drawn["walk_m_per_day"], drawn["ways_out"]
    assert judged(demo_room, drawn, where="plan.json").plan is not None


def test_a_walk_said_shorter_than_the_shortest_way_is_a_fault_with_both(demo_room, drawn):
    one = flow(drawn, "BENCH.stand")
    real, one["walk_mm"] = one["walk_mm"], 1000
    assert f"the plan says 1.00 m to walk; the shortest way is {real / 1000:.2f}" in told(demo_room, drawn)


def test_a_walk_said_longer_than_the_shortest_way_is_a_fault_too(demo_room, drawn):
    flow(drawn, "BENCH.stand")["walk_mm"] += 2
    assert "BENCH.stand to HOT.load the plan says" in told(demo_room, drawn)


def test_a_walk_rounded_to_the_millimetre_is_true(demo_room, drawn):
    flow(drawn, "BENCH.stand")["walk_mm"] += 1
    assert judged(demo_room, drawn, where="plan.json").plan is not None


def test_a_path_through_a_machine_is_a_fault(demo_room, drawn):
    one = next(one for one in drawn["flows"] if len(one["path_mm"]) > 2)
    (x, y), (right, top) = one["path_mm"][0], one["path_mm"][-1]
    one["path_mm"] = [[x, y], [x, 5000], [right, 5000], [right, top]]
    assert "goes through something" in told(demo_room, drawn)


def test_a_path_that_ends_elsewhere_is_a_fault(demo_room, drawn):
    flow(drawn, "BENCH.stand")["path_mm"][-1][0] += 50
    assert "does not end in the middle of HOT.load" in told(demo_room, drawn)


def test_a_slanted_path_is_a_fault(demo_room, drawn):
    one = next(one for one in drawn["flows"] if len(one["path_mm"]) > 2)
    one["path_mm"] = [one["path_mm"][0], one["path_mm"][-1]]
    assert "runs at a slant" in told(demo_room, drawn)


def test_a_day_of_walking_that_is_not_the_sum_of_its_walks_is_a_fault(demo_room, drawn):
    drawn["walk_m_per_day"] -= 5
    assert "m walked a day" in told(demo_room, drawn)


def test_a_way_out_said_shorter_is_a_fault(demo_room, drawn):
    next(way for way in drawn["ways_out"] if way["zone"] == "HOT.load")["walk_mm"] -= 500
    assert "from HOT.load the plan says" in told(demo_room, drawn)


def test_a_zone_drawn_beside_its_place_is_a_fault(demo_room, drawn):
    saw = next(item for item in drawn["items"] if item["id"] == "SAW")
    next(zone for zone in saw["zones"] if zone["id"] == "out")["length_mm"] = 300
    assert "SAW.out.length_mm is 300 in the plan" in told(demo_room, drawn)
