"""What warm plates ask of a stay, and what a rehearsal may raise of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.planning.problem.straight_lines import SCALE, straight_lines
from flatstock.planning.problem.warmth import asked_for, cold_from, ends_after, opens_after, stacked_after
from flatstock.planning.problem.week import Sheet
from tests.planning.proof.test_warm_plates import warm_kind

SHEET = Sheet(
    id="01", order="O", kind=warm_kind(cool=7, whole=30, adds=0.5, leaves=100), due=None, condition=0
)


@given(
    st.lists(st.floats(0.1, 50), min_size=2, max_size=12), st.lists(st.floats(0, 3), min_size=11, max_size=11)
)
def test_lines_lie_on_or_above_a_curve_that_bends_upwards(steps, slopes):
    at, values = [0.0], [5.0]
    for step, slope in zip(steps, sorted(slopes), strict=False):
        at.append(at[-1] + step)
        values.append(values[-1] + step * slope)
    lines = straight_lines(at, values)
    for x, y in zip(at, values, strict=False):
        told = max(slope * x + cold for slope, cold in lines) / SCALE
        assert y - 1e-6 <= told <= y + 0.5 * len(at)


def test_a_curve_without_a_bend_is_one_line():
    assert straight_lines([0, 10, 20], [4, 9, 14]) == ((5000, 40000),)


def test_plates_are_cold_later_by_what_a_mould_brings_and_never_sooner_than_without_it():
    cold = cold_from(SHEET, "CP1", clamped=10, leave=20, cold=10)
    assert cold == 20 + 100 - 5  # half of each minute that it stays
    nothing = replace(SHEET, kind=warm_kind(leaves=0, fades=2))
    assert cold_from(nothing, "CP1", clamped=10, leave=300, cold=900) == 900


def test_minutes_that_a_later_mould_lacked_raise_what_warm_plates_add_and_leave_the_first_mould_alone():
    needed = opens_after(SHEET, "CP1", 60) + 9
    again = SHEET.asks(**asked_for(SHEET, "CP1", 60, {"cool": needed}, moved=True))
    assert opens_after(again, "CP1", 60) >= needed
    assert opens_after(again, "CP1", 0) == opens_after(SHEET, "CP1", 0)
    assert opens_after(again, "CP1", 80) > opens_after(SHEET, "CP1", 80)


def test_minutes_that_a_mould_on_cold_plates_lacked_are_asked_of_all_of_its_kind():
    again = SHEET.asks(**asked_for(SHEET, "CP1", 0, {"cool": 12}, moved=True))
    assert opens_after(again, "CP1", 0) == 12


def test_what_lacked_before_it_was_demoulded_in_the_press_is_asked_of_that():
    needed = ends_after(SHEET, "CP1", 60) + 9
    again = SHEET.asks(**asked_for(SHEET, "CP1", 60, {"rest": needed}, moved=False))
    assert ends_after(again, "CP1", 60) >= needed
    assert ends_after(again, "CP1", 0) == ends_after(SHEET, "CP1", 0)


def test_what_lies_on_others_later_is_asked_in_proportion_to_how_warm_the_plates_are():
    again = SHEET.asks(**asked_for(SHEET, "CP1", 60, {"stack": 72}, moved=True))
    assert stacked_after(again, "CP1", 60) >= 72
    assert stacked_after(again, "CP1", 0) < 20


@given(st.integers(0, 200), st.integers(1, 60), st.integers(0, 200), st.integers(1, 60))
def test_what_is_asked_only_ever_grows(warmth, more, other, further):
    once = SHEET.asks(
        **asked_for(SHEET, "CP1", warmth, {"cool": opens_after(SHEET, "CP1", warmth) + more}, moved=True)
    )
    twice = once.asks(
        **asked_for(once, "CP1", other, {"cool": opens_after(once, "CP1", other) + further}, moved=True)
    )
    for at in range(0, 200, 10):
        assert opens_after(SHEET, "CP1", at) <= opens_after(once, "CP1", at) <= opens_after(twice, "CP1", at)
    assert opens_after(once, "CP1", warmth) >= opens_after(SHEET, "CP1", warmth) + more
    assert opens_after(twice, "CP1", other) >= opens_after(once, "CP1", other) + further


@pytest.mark.parametrize("name", ["cool", "stack", "rest"])
def test_where_plates_stay_cold_enough_minutes_are_asked_as_they_are(name):
    flat = replace(SHEET, kind=replace(SHEET.kind, warming={}))
    assert asked_for(flat, "CP1", 0, {name: 12}, moved=True) == {name: 12}
