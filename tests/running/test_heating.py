"""A press that heats says when it is at its set-point and soaked, and no mould is called to it before."""

from __future__ import annotations

from datetime import UTC, timedelta

import pytest

from flatstock.actions.board import lot_faults
from flatstock.actions.heat_clocks import HeatClocks
from flatstock.pressing.platens import time_between
from flatstock.running.floor import floor_of
from flatstock.running.situation import situation
from flatstock.running.taps import judge
from tests.running.morning import a_plan, an_event, at, way_to

ON = an_event("heating_on", "07:40", place="HP1", facts={"set_point_C": 195})


@pytest.fixture(scope="module")
def press_at(shop):
    """The tile of HP1 after some events, by the heat model."""

    def seen(events, clock):
        there = situation(
            events, plan=a_plan(), shop=shop, zone=UTC, clocks=HeatClocks(lambda: shop), lot_faults=lot_faults,
            now=at(clock),
        )  # fmt: skip
        return floor_of(there)

    return seen


def tile(floor):
    return next(one for one in floor.places if one.id == "HP1")


@pytest.fixture(scope="module")
def cold_start(shop):
    """How long the demo's press takes from the room's temperature."""
    return timedelta(
        seconds=time_between(shop.hot_presses["HP1"], shop.room.value, 195, room=shop.room.value)
    )


def test_a_cold_press_is_ready_after_its_heat_up_and_its_soak(press_at, shop, cold_start):
    hot = tile(press_at([ON], "07:45"))
    assert hot.ready == at("07:40") + cold_start + timedelta(seconds=shop.practice.soak_time)
    assert hot.state == "wait"
    assert hot.heating.startswith("at 195 °C about 08:")
    assert "ready to load about" in hot.heating


def test_while_it_soaks_it_says_since_when_it_is_hot(press_at):
    assert "soaking: ready to load about" in tile(press_at([ON], "08:25")).heating


def test_a_soaked_press_is_free_and_says_so(press_at):
    hot = tile(press_at([ON], "09:30"))
    assert hot.state == "free"
    assert "soaked since" in hot.heating


def test_a_measured_temperature_counts_from_then_on(press_at, cold_start):
    slow = an_event("platen_read", "08:00", place="HP1", facts={"temperature_C": 60})
    later = tile(press_at([ON, slow], "08:01")).ready
    assert later > tile(press_at([ON], "08:01")).ready
    assert later > at("08:00") + timedelta(minutes=15)


def test_after_a_short_cut_it_heats_from_where_it_had_cooled_to(press_at, shop, cold_start):
    cut, back = an_event("power_cut", "10:00"), an_event("power_back", "10:09")
    on = an_event("heating_on", "10:10", place="HP1", facts={"set_point_C": 195}, named="again")
    hot = tile(press_at([ON, cut, back, on], "10:11"))
    soak = timedelta(seconds=shop.practice.soak_time)
    assert at("10:10") + soak < hot.ready < at("10:10") + soak + cold_start / 2


def test_a_higher_set_point_is_waited_for_again(press_at):
    up = an_event("heating_on", "10:00", place="HP1", facts={"set_point_C": 210}, named="up")
    hot = tile(press_at([ON, up], "10:01"))
    assert hot.heating.startswith("at 210 °C about 10:")


def test_a_press_with_a_mould_in_it_has_the_mould_s_clock_alone(press_at):
    hot = tile(press_at(way_to("loaded"), "08:40"))
    assert (hot.ready, hot.heating) == (None, "")


def test_heaters_too_weak_for_the_set_point_are_named(shop, press_at):
    hot = tile(press_at([an_event("heating_on", "07:40", place="HP1", facts={"set_point_C": 2000})], "08:00"))
    assert hot.heating == "its heaters can't bring it to 2000 °C"


def test_a_prepared_mould_waits_for_the_platens_and_is_not_called_before(press_at):
    late = an_event("heating_on", "08:20", place="HP1", facts={"set_point_C": 195})
    before = [*(one for one in way_to("prepared") if one.kind != "heating_on"), late]
    floor = press_at(before, "08:31")
    (first, *_) = floor.to_do
    assert first.waits.startswith("HP1 at 195 °C about 09:0")
    assert not [call for call in floor.calls if call.sheet == first.sheet]


def laid_in(clock, **more):
    return an_event("loaded", clock, sheet="S-1", place="HP1", **more)


@pytest.fixture(scope="module")
def door(shop):
    """What becomes of a mould laid into HP1 after some events, by the heat model."""

    def answer(load, before):
        return judge(load, situation(before, plan=a_plan(), shop=shop, zone=UTC, clocks=HeatClocks(lambda: shop),
                                     lot_faults=lot_faults, now=load.at))  # fmt: skip

    return answer


def heated_from(clock, *more):
    before = [one for one in way_to("prepared") if one.kind != "heating_on"]
    return [*before, an_event("heating_on", clock, place="HP1", facts={"set_point_C": 195}), *more]


def test_a_mould_is_not_laid_between_platens_that_still_heat_up(door):
    answer = door(laid_in("08:33"), heated_from("08:20"))
    assert answer.outcome == "refused"
    (fault,) = answer.faults
    assert "its platens are at about 79 °C" in fault.what
    assert "at 195 °C about 09:00" in fault.what
    assert "ready to load about 09:15" in fault.what


def test_nor_before_they_have_soaked(door):
    (fault,) = door(laid_in("08:33"), heated_from("07:50")).faults
    assert "soaking: ready to load about 08:4" in fault.what


def test_who_says_why_has_laid_it_in_and_hears_that_its_dwell_is_another(door):
    answer = door(laid_in("08:33", why="it is in there already", facts={"cold": True}), heated_from("08:20"))
    assert answer.outcome == "accepted"
    assert "reckoned from where they stand" in answer.say[0]


def test_platens_that_read_their_set_point_are_soaked_from_then_on_whatever_was_reckoned(door):
    read = an_event("platen_read", "08:25", place="HP1", facts={"temperature_C": 194}, who=("OP1",))
    assert "soaking" in door(laid_in("08:33"), heated_from("08:20", read)).faults[0].what
    assert door(laid_in("08:41"), heated_from("08:20", read)).outcome == "accepted"


def test_platens_switched_off_and_on_again_are_reckoned_from_where_they_had_cooled_to(door):
    off = an_event("heating_off", "08:00", place="HP1")
    on = an_event("heating_on", "08:20", place="HP1", facts={"set_point_C": 195}, named="again")
    (fault,) = door(laid_in("08:33"), heated_from("07:00", off, on)).faults
    assert "ready to load about 08:" in fault.what  # sooner than from cold, when it were 09:15


def test_another_set_point_of_a_soaked_press_settles_as_long_as_the_plan_has_it(door, shop):
    up = an_event("heating_on", "08:20", place="HP1", facts={"set_point_C": 200}, named="up")
    assert shop.practice.settle_time < shop.practice.soak_time
    assert "at 200 °C" in door(laid_in("08:24"), heated_from("07:00", up)).faults[0].what
    assert door(laid_in("08:28"), heated_from("07:00", up)).outcome == "accepted"
