"""Breathing and full pressure after a power cut: the model's time is the whole dwell, and they come at its end."""

from datetime import UTC, timedelta

import pytest

from flatstock.actions.board import lot_faults
from flatstock.running.courses import Course, Finish, Gate
from flatstock.running.floor import floor_of
from flatstock.running.situation import situation
from tests.running.morning import a_plan, an_event, at, way_to

CUT = [
    *way_to("loaded"),
    an_event("power_cut", "08:45", who=()),
    an_event("power_back", "08:50", who=()),
    an_event("platen_read", "08:51", who=("OP1",), place="HP1", facts={"temperature_C": 181}),
    an_event("heating_on", "08:52", who=("OP1",), place="HP1", facts={"set_point_C": 195}),
]
FINISH = Finish(before=timedelta(minutes=3), words="breathe twice, then full pressure")


class UntilTen:
    """The model's answer: the dwell ends at 10:00."""

    answers = 0

    def courses(self, *_, **__):
        gate = Gate(not_before=at("10:00"), limit=165.0)
        return {"S-1": Course(gates={"transferred": gate}, finish=FINISH, whole=True)}

    def warming(self, *_, **__):
        return {}


@pytest.fixture
def board(shop):
    def known(clock, events=CUT):
        return floor_of(
            situation(
                events, plan=a_plan(), shop=shop, zone=UTC, clocks=UntilTen(), lot_faults=lot_faults, now=at(clock)
            )
        )  # fmt: skip

    return known


def sentence(floor):
    return next(place for place in floor.places if place.id == "HP1").moulds[0].sentence


def called(floor):
    return [call.words for call in floor.calls if call.id == "finish S-1"]


def test_until_then_it_is_under_contact_pressure_and_says_when_what_comes(board):
    floor = board("09:30")
    assert sentence(floor) == (
        "do not open before 10:00; contact pressure until 09:57; then breathe twice, then full pressure;"
        " out at 10:00"
    )
    assert called(floor) == []


def test_at_its_end_somebody_is_called_to_breathe_and_press_though_it_stays_closed(board):
    floor = board("09:58")
    assert sentence(floor).startswith("breathe twice, then full pressure; out at 10:00; do not open before")
    assert called(floor) == ["S-1 in HP1: breathe twice, then full pressure now: 1 person, face shield"]


def test_what_was_breathed_before_the_cut_is_breathed_again_and_then_nobody_is_called(board):
    before = an_event("breathed", "08:44", who=("OP1",), sheet="S-1", place="HP1")
    assert called(board("09:58", [*CUT, before])) != []
    after = an_event("breathed", "09:57:30", who=("OP1",), sheet="S-1", place="HP1")
    assert called(board("09:58", [*CUT, after])) == []
