"""The heaters are called for as the plan has them, and by nobody's decision otherwise."""

from __future__ import annotations

from datetime import UTC

import pytest

from flatstock.actions.board import lot_faults
from flatstock.running.courses import PlanClocks
from flatstock.running.floor import floor_of
from flatstock.running.situation import situation
from tests.running.morning import a_plan, an_event, at, way_to

CHECKED = an_event("checked", "07:16", who=("OP1",), facts={"list": "start"})
ON = an_event("heating_on", "07:20", place="HP1", facts={"set_point_C": 195})


@pytest.fixture
def calls(shop):
    """Words of the calls to the heaters after some events."""
    rows = (("heat_up", "07:20", 195.0), ("raise", "10:00", 210.0), ("off", "10:40", None))
    plan = a_plan() | {
        "settings": [
            {
                "place": "HP1",
                "kind": kind,
                "start": at(clock).isoformat(),
                "end": at(clock).isoformat(),
                "to_C": to,
            }
            for kind, clock, to in rows
        ]
    }

    def asked(events, clock):
        found = situation(events, plan=plan, shop=shop, zone=UTC, clocks=PlanClocks(), lot_faults=lot_faults,
                          now=at(clock))  # fmt: skip
        return [(call.kind, call.words) for call in floor_of(found).calls if " heaters " in call.id]

    return asked


def test_heaters_are_called_for_three_minutes_ahead_and_until_they_are_told_to_be_on(calls):
    assert calls([CHECKED], "07:16:30") == []
    assert calls([CHECKED], "07:18") == [("early", "Heaters of HP1 on, 195 °C at 07:20: 1 person")]
    assert calls([CHECKED], "07:25") == [("due", "Heaters of HP1 on, 195 °C now: 1 person")]
    assert calls([CHECKED, ON], "07:25") == []


def test_the_start_checks_come_before_the_heaters(calls):
    assert calls([], "07:25") == [("due", "Start checks, then heaters of HP1 on, 195 °C now: 1 person")]
    wrong = an_event("checked", "07:16", who=("OP1",), facts={"list": "start", "wrong": "A cable is bare."})
    assert calls([wrong], "07:25") == []


def test_another_set_point_is_called_for_once_the_press_is_empty(calls):
    assert calls(way_to("transferred"), "10:01") == [("due", "HP1 to 210 °C now: 1 person")]
    told = an_event("heating_on", "10:02", place="HP1", facts={"set_point_C": 210})
    assert calls([*way_to("transferred"), told], "10:03") == []
    assert calls(way_to("loaded"), "10:01") == []


def test_heaters_go_off_when_the_last_sheet_of_the_day_was_in_the_press(calls):
    both = [
        *way_to("moved"),
        *(an_event(e.kind, "10:10", sheet="S-2", place=e.place) for e in way_to("transferred")[-2:]),
    ]
    both = [e for e in both if (e.sheet, e.kind) != ("S-2", "transferred")]
    out = an_event("transferred", "10:38", sheet="S-2", place="CP1")
    assert calls([*both, out], "10:41") == [("due", "Heaters of HP1 off at the isolator now: 1 person")]
    assert calls(way_to("moved"), "10:41") == []  # S-2 is still to be pressed


def test_what_somebody_has_switched_after_the_planned_time_is_left_alone(calls):
    off = an_event("heating_off", "07:40", place="HP1", who=("OP1",))
    assert calls([CHECKED, ON, off], "07:50") == []


def test_nobody_is_called_to_heaters_whom_nobody_here_may_watch(calls):
    gone = an_event("left", "07:17", who=("OP1", "OP2"))
    assert calls([CHECKED, gone], "07:25") == []
