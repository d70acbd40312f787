"""A press that heats says when it is at its set-point and soaked, and no mould is called to it before."""

from __future__ import annotations

from datetime import UTC, timedelta

import pytest

from flatstock.actions.board import lot_faults
from flatstock.actions.heat_clocks import HeatClocks
from flatstock.pressing.platens import time_between
from flatstock.running.floor import floor_of
from flatstock.running.situation import situation
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
