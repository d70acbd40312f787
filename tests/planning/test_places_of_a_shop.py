"""What a plan takes a shop's places and people to be, from its files."""

from datetime import UTC, datetime, timedelta

import pytest

from flatstock import demo
from flatstock.errors import Fault, Refused
from flatstock.planning.problem.build import set_out
from flatstock.workshop.files import read

MONDAY = datetime(2026, 3, 2, 7, tzinfo=UTC)


class NoPhysics:
    """Nothing can be pressed; what is asked here is asked before that."""

    def recipe(self, order, press):
        raise Refused(Fault("physics", "none here", "ask elsewhere"))

    def between(self, press, start, end):
        return 0.0

    def hold(self, press, temperature):
        return 0.0


@pytest.fixture
def week_of(tmp_path):
    def after(*edits, start=MONDAY, weeks=1):
        demo.copy_to(tmp_path / "shop")
        file = tmp_path / "shop" / "shop.toml"
        text = file.read_text("utf-8")
        for old, new in edits:
            assert old in text
            text = text.replace(old, new)
        file.write_text(text, "utf-8")
        return set_out(read(tmp_path / "shop"), NoPhysics(), zone=UTC, start=start, weeks=weeks)

    return after


def test_a_rack_bears_no_more_than_its_load_on_file(week_of):
    assert week_of(("load_max_kg = 350", "load_max_kg = 160")).sites["R1"].mass_max == 160


def test_where_nobody_may_saw_nothing_waits_for_the_saw(week_of):
    week = week_of(('"hot_transfer", "saw"', '"hot_transfer"'))
    assert not week.sawing()


NIGHTS = (
    'days = "mon-fri", start = "07:15", end = "15:45", lunch_start = "12:00", lunch_end = "12:30"',
    'days = "sun mon tue wed thu", start = "22:00", end = "06:00"',
)


def test_a_night_shift_that_began_on_sunday_is_there_on_monday_morning(week_of):
    week = week_of(NIGHTS, start=MONDAY.replace(hour=3))
    stay = next(one for one in week.people if one.id == "OP1").present[0]
    assert (week.clock.text(stay.start)[:16], week.clock.text(stay.end)[:16]) == (
        "2026-03-02T03:00",
        "2026-03-02T06:00",
    )


def test_a_week_ends_before_the_night_that_goes_on_into_the_next(week_of):
    week = week_of(NIGHTS, start=MONDAY.replace(hour=3))
    assert week.clock.text(week.end)[:16] == "2026-03-06T15:45"


def test_planned_on_a_sunday_the_night_that_begins_then_has_its_week_behind_it(week_of):
    week = week_of(NIGHTS, start=MONDAY.replace(hour=21) - timedelta(days=1))
    assert week.clock.text(week.end)[:16] == "2026-03-06T15:45"
    stay = next(one for one in week.people if one.id == "OP1").present[0]
    assert week.clock.text(stay.start)[:16] == "2026-03-01T22:00"
    assert week.clock.text(week.closing) == week.clock.text(week.end)


def test_from_a_sunday_on_three_weeks_may_be_asked_for(week_of):
    week = week_of(NIGHTS, start=MONDAY.replace(hour=21) - timedelta(days=1), weeks=3)
    assert week.clock.text(week.end)[:16] == "2026-03-13T15:45"
    assert week.clock.text(week.closing)[:16] == "2026-03-06T15:45"
