"""The day's first heaters wait for its start checks."""

from __future__ import annotations

from datetime import UTC, timedelta

import pytest

from flatstock.running.event import Event
from flatstock.running.start_checks import START, start_checks
from tests.running.morning import an_event, at, way_to

HEATERS = {"place": "HP1", "facts": {"set_point_C": 195}, "who": ("OP1",)}


def checked(clock, **facts):
    return an_event("checked", clock, who=("OP1",), facts={"list": START, **facts})


def test_heaters_go_on_once_the_checks_are_signed(tap):
    assert tap(an_event("heating_on", "07:40", **HEATERS), [checked("07:30")]).outcome == "accepted"


def test_heaters_stay_off_before_the_checks_are_signed(tap):
    answer = tap(an_event("heating_on", "07:40", **HEATERS))
    assert answer.outcome == "refused"
    assert "start checks of today are not signed" in answer.faults[0].what


def test_what_was_found_not_right_keeps_them_off_until_every_line_is_signed_again(tap):
    wrong = checked("07:20", wrong="Oil drips.")
    answer = tap(an_event("heating_on", "07:40", **HEATERS), [wrong])
    assert answer.outcome == "refused"
    assert "Oil drips." in answer.faults[0].what
    again = [wrong, checked("07:35")]
    assert tap(an_event("heating_on", "07:40", **HEATERS), again).outcome == "accepted"


def test_checks_that_were_taken_back_count_for_nothing(tap):
    first = checked("07:30")
    back = an_event("undone", "07:30:05", corrects=first.id, who=("OP1",))
    assert tap(an_event("heating_on", "07:40", **HEATERS), [first, back]).outcome == "refused"


def test_a_mould_in_a_press_that_nobody_said_is_hot_is_held_as_heaters_are(tap):
    way = [one for one in way_to("loaded") if one.kind not in ("checked", "heating_on")]
    assert tap(way[-1], way[:-1]).outcome == "refused"
    assert tap(way[-1], [checked("07:30"), *way[:-1]]).outcome == "accepted"


def test_heaters_that_went_on_while_the_tablet_was_away_are_kept_and_asked_about(tap):
    answer = tap(an_event("heating_on", "07:40", **HEATERS), received="07:50")
    assert answer.outcome == "asks"


@pytest.mark.parametrize(("hours_later", "counts"), [(0, True), (7, True), (9, False), (24, False)])
def test_checks_of_an_evening_count_through_its_night_and_not_for_the_next_day(hours_later, counts):
    evening = at("23:00")
    said = Event(id="c", at=evening, noted_at=evening, kind="checked", who=("OP1",), facts={"list": START})
    now = evening + timedelta(hours=hours_later)
    assert (start_checks([said], now, UTC) is said) is counts
