"""A tall press and a low door: which side goes first, and what would help where it does not come in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.starting.room.move_in import passage
from flatstock.starting.room.question import MoveIn
from flatstock.starting.room.solve.answering import answer
from tests.starting.room.making import DOOR, ask, box, hall, work

LOW = replace(DOOR, clear_height_mm=2200)


def press(how, height=2300, **more):
    way = MoveIn(door="D1", how=how, skate_mm=50, clearance_mm=50, **more)
    return box("HOT", 1700, 1300, [work()], height_mm=height, move_in=way)


def helps(item, **room):
    found = answer(ask(item, box("B"), room=hall(doors=(LOW,), **room), grid=100), seconds=10)
    assert found.proof.status == "impossible"
    return [one.what for one in found.would_help]


def test_of_two_ways_to_tilt_the_one_that_leans_least_is_taken():
    """1.3 m in the direction of travel: atan(1.3 / 2.3) + acos(2.15 / 2.642) = 65.0°; with 1.7 m first it is 77.7°."""
    way = passage(press("tilted"), hall(doors=(LOW,)))
    assert way is not None
    assert way.passes
    assert way.angle_deg == pytest.approx(65.0, abs=0.05)
    assert way.ceiling_mm == pytest.approx(2642, abs=0.5)


def test_where_only_the_narrow_side_goes_between_the_jambs_the_long_one_leads():
    narrow = replace(LOW, y2_mm=3400, clear_width_mm=1400)
    way = passage(press("tilted"), hall(doors=(narrow,)))
    assert way is not None
    assert way.angle_deg == pytest.approx(77.7, abs=0.05)


def test_what_goes_through_upright_is_not_tilted():
    way = passage(press("tilted", height=2000), hall(doors=(LOW,)))
    assert way is not None
    assert way.angle_deg == 0.0
    assert "need not be tilted" in way.text


def test_a_press_too_tall_for_its_door_is_helped_by_tilting_a_higher_door_or_taking_it_apart():
    found = helps(press("upright"))
    assert found[0] == "HOT tilted through D1, if its maker gives leave"
    assert {
        "D1 0.20 m higher",
        "HOT taken apart for its way in, so that no part is higher than 2.15 m",
    } < set(found)


def test_a_press_that_may_not_lean_so_far_is_not_helped_by_tilting():
    assert not [what for what in helps(press("tilted", angle_max_deg=30.0)) if "tilted" in what]


def test_under_a_ceiling_too_low_to_stand_it_up_again_it_does_not_pass():
    """2.3 m high, 1.3 m deep: the diagonal is 2.642 m."""
    for height, passes in ((2641, False), (2642, True)):
        way = passage(press("tilted"), hall(doors=(LOW,), height_mm=height))
        assert way is not None
        assert way.passes is passes
