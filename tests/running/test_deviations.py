"""What a sheet's record keeps of how its making left the recipe."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

import pytest

from flatstock.running.deviations import deviations
from flatstock.running.sheets import planned
from tests.running.morning import a_plan, an_event, at, way_to

RECIPE = planned(a_plan())["S-1"]


def found(sheet, press=(), *, now="16:00"):
    return [(one.what, one.cut_test) for one in deviations(sheet, press, RECIPE, UTC, at(now))]


def in_the_press(loaded="08:33", out="09:02", **facts):
    return [
        an_event("loaded", loaded, sheet="S-1", place="HP1", facts=facts),
        an_event("transferred", out, sheet="S-1", place="CP1"),
    ]


def test_a_sheet_made_by_its_recipe_has_none():
    assert found(way_to("demoulded"), [way_to("heating_on")[0]]) == []


def test_a_sheet_that_was_never_loaded_has_none():
    assert found(way_to("prepared")) == []


def test_a_power_cut_while_it_was_in_the_press_asks_for_a_cut_test():
    press = [an_event("power_cut", "08:50", who=()), an_event("heating_on", "08:59", place="HP1")]
    said = "heat of HP1 was off from 08:50 to 08:59 while the mould was in it"
    assert found(in_the_press(out="09:10"), press) == [(said, True)]


def test_heat_that_came_back_this_very_instant_is_said_to_be_back():
    laid_in = in_the_press()[:1]
    press = [an_event("heating_off", "08:50", place="HP1"), an_event("heating_on", "08:59", place="HP1")]
    said = "heat of HP1 was off from 08:50 to 08:59 while the mould was in it"
    assert found(laid_in, press, now="08:59") == [(said, True)]


@pytest.mark.parametrize("cut", ["08:20", "09:05"])
def test_a_cut_before_or_after_it_was_in_the_press_is_not_its_own(cut):
    press = [
        an_event("heating_on", "07:40", place="HP1"),
        an_event("power_cut", cut, who=()),
        *([an_event("heating_on", "08:30", place="HP1")] if cut < "08:33" else []),
    ]
    assert found(in_the_press(), press) == []


def test_a_cut_of_another_press_is_not_its_own():
    assert found(in_the_press(), [an_event("heating_off", "08:50", place="HP2")]) == []


@pytest.mark.parametrize(("point", "cut_test"), [(180, True), (210, False)])
def test_another_set_point_is_told_and_a_lower_one_looked_into(point, cut_test):
    assert found(in_the_press(set_point_C=point)) == [(f"set-point {point} °C instead of 195 °C", cut_test)]


@pytest.mark.parametrize(
    ("out", "said"),
    [
        ("08:50", "17 min in the press, 28 min are needed to melt through"),
        ("09:40", "67 min in the press, its face bears 50"),
    ],
)
def test_too_short_and_too_long_a_stay(out, said):
    assert found(in_the_press(out=out)) == [(said, True)]


@pytest.mark.parametrize(("out", "told"), [("09:02", True), ("09:08", False)])
def test_what_leaves_melted_but_before_its_planned_dwell_is_over_has_had_no_full_pressure(out, told):
    longer = replace(RECIPE, dwell_planned=36 * 60.0)
    said = "29 min in the press, 36 min were planned, breathing and full pressure at their end"
    have = [
        (one.what, one.cut_test) for one in deviations(in_the_press(out=out), (), longer, UTC, at("16:00"))
    ]
    assert have == ([(said, False)] if told else [])


def test_platens_that_were_not_ready_ask_for_a_cut_test():
    assert found(in_the_press(cold=True)) == [("laid in before the platens were ready", True)]


def test_platens_that_are_reckoned_not_to_have_been_ready_ask_for_one_too():
    said = [
        (one.what, one.cut_test)
        for one in deviations(in_the_press(), (), RECIPE, UTC, at("16:00"), cold=True)
    ]
    assert said == [("laid in before the platens were ready", True)]
