"""Extract on or off: what was said of it, and what is not opened hot before somebody has said that it runs."""

from __future__ import annotations

from datetime import UTC

from hypothesis import given
from hypothesis import strategies as st

from flatstock.running.extract import extract_of
from tests.running.morning import an_event, at, way_to

ON, OFF = "extract_on", "extract_off"


def told(kind, clock, **more):
    return an_event(kind, clock, who=() if kind == "power_cut" else ("OP1",), **more)


def transfer():
    return an_event("transferred", "09:02", sheet="S-1", place="CP1")


def test_whoever_signs_the_start_checks_has_seen_it_run():
    found = extract_of([told("checked", "07:30", facts={"list": "start"})], at("08:00"), UTC)
    assert (found.on, found.since) == (True, at("07:30"))


def test_checks_that_found_something_wrong_say_nothing_of_it():
    wrong = told("checked", "07:30", facts={"list": "start", "wrong": "Extract runs."})
    assert extract_of([wrong], at("08:00"), UTC).on is None


def test_a_power_cut_of_the_shop_stops_it_until_somebody_says_that_it_runs():
    events = [told(ON, "08:00"), told("power_cut", "09:00"), told("power_back", "09:10")]
    found = extract_of(events, at("09:15"), UTC)
    assert (found.on, found.cut) == (False, True)
    assert extract_of([*events, told(ON, "09:20")], at("09:25"), UTC).on is True


def test_what_was_said_yesterday_says_nothing_of_today():
    assert extract_of([told(ON, "08:00")], at("32:00"), UTC).on is None


@given(st.lists(st.sampled_from([ON, OFF]), min_size=1, max_size=8))
def test_the_last_word_counts(kinds):
    events = [told(kind, f"08:{n:02d}") for n, kind in enumerate(kinds)]
    assert extract_of(events, at("09:00"), UTC).on is (kinds[-1] == ON)


def test_told_twice_it_is_on_since_the_first_time():
    assert extract_of([told(ON, "08:00"), told(ON, "08:30")], at("09:00"), UTC).since == at("08:00")


def test_a_mould_is_not_opened_hot_while_the_extract_is_off(tap):
    answer = tap(transfer(), [*way_to("loaded"), told(OFF, "08:50")])
    assert answer.outcome == "refused"
    (fault,) = answer.faults
    assert fault.where == "extract"
    assert "off since 08:50" in fault.what
    assert "leave the press closed" in fault.instead


def test_a_mould_is_not_breathed_while_the_extract_is_off(tap):
    breath = an_event("breathed", "08:50", sheet="S-1", place="HP1", who=("OP1",))
    assert tap(breath, [*way_to("loaded"), told(OFF, "08:40")]).outcome == "refused"
    assert tap(breath, way_to("loaded")).outcome == "accepted"


def test_a_mould_that_was_opened_while_the_tablet_was_away_is_kept_and_asked_about(tap):
    answer = tap(transfer(), [*way_to("loaded"), told(OFF, "08:50")], received="09:30")
    assert answer.outcome == "asks"


def test_the_extract_is_told_while_a_danger_is_on(tap):
    assert tap(told(ON, "08:50"), [*way_to("loaded"), told("smoke", "08:45")]).outcome == "accepted"
