"""Where the app was off while a mould stood in a heated press, somebody has to say what the heat did."""

from __future__ import annotations

import pytest

from flatstock.running.floor import floor_of
from flatstock.running.silence import Silence
from flatstock.running.taps import judge
from tests.running.morning import an_event, at, way_to


@pytest.fixture
def off():
    return Silence(since=at("08:50"), until=at("08:59"))


def test_a_press_with_a_mould_in_it_is_asked_about(how_it_stands, off):
    assert how_it_stands(way_to("loaded"), "09:05", silences=[off]).silences == (off,)


@pytest.mark.parametrize("step", ["prepared", "transferred"])
def test_an_empty_press_is_not(how_it_stands, off, step):
    assert how_it_stands(way_to(step), "09:05", silences=[off]).silences == ()


def test_heaters_that_were_off_already_are_not(how_it_stands, off):
    events = [*way_to("loaded"), an_event("heating_off", "08:45", place="HP1")]
    assert how_it_stands(events, "09:05", silences=[off]).silences == ()


@pytest.mark.parametrize(
    "told",
    [
        an_event("power_cut", "08:50", who=()),
        an_event("note", "09:01", facts={"silence": "2026-03-02T08:50:00+00:00"}),
    ],
    ids=["it failed", "it stayed on"],
)
def test_told_either_way_it_is_not_asked_again(how_it_stands, off, told):
    assert how_it_stands([*way_to("loaded"), told], "09:05", silences=[off]).silences == ()


def test_until_it_is_told_the_press_stays_closed(how_it_stands, off):
    out = an_event("transferred", "09:02", sheet="S-1", place="CP1")
    said = judge(out, how_it_stands(way_to("loaded"), "09:02", silences=[off]))
    assert said.outcome == "refused"
    assert "nobody has said whether its heat failed while the app was off, 08:50 to 08:59" in str(
        said.faults[0]
    )


def test_nobody_is_called_to_open_a_press_whose_heat_is_asked_about(how_it_stands, off):
    floor = floor_of(how_it_stands(way_to("loaded"), "09:40", silences=[off]))
    (call,) = [one for one in floor.calls if one.sheet == "S-1"]
    assert "waits: S-1: nobody has said whether its heat failed" in call.words
    assert "now" not in call.words
    assert "open and transfer" not in call.words
    assert ".;" not in call.words
