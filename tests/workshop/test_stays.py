"""When somebody is there: stays on weekdays, less a break, and nights that go on past midnight."""

from datetime import UTC, date, datetime, time

import pytest

from flatstock.running.people import Attendance
from flatstock.workshop.files import read
from flatstock.workshop.shop import Presence

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)
HOURS = (
    'days = "mon-fri", start = "07:15", end = "15:45", lunch_start = "12:00", lunch_end = "12:30" }]\nlift'
)


def night(**changes):
    hours = {"start": time(22), "end": time(6), "lunch_start": time(2), "lunch_end": time(2, 30)}
    return Presence(weekdays=(0,), **(hours | changes))


def clocked(spans):
    return [(f"{a:%a %H:%M}", f"{b:%a %H:%M}") for a, b in spans]


def test_a_night_ends_on_the_next_day_and_its_break_lies_where_it_comes():
    assert clocked(night().spans(MONDAY, UTC)) == [("Mon 22:00", "Tue 02:00"), ("Tue 02:30", "Tue 06:00")]
    early = night(lunch_start=time(23), lunch_end=time(23, 30))
    assert clocked(early.spans(MONDAY, UTC)) == [("Mon 22:00", "Mon 23:00"), ("Mon 23:30", "Tue 06:00")]


def test_a_night_belongs_to_the_day_on_which_it_begins():
    assert night().spans(TUESDAY, UTC) == []


def test_a_stay_may_end_at_midnight():
    late = night(start=time(16), end=time(0), lunch_start=None, lunch_end=None)
    assert clocked(late.spans(MONDAY, UTC)) == [("Mon 16:00", "Tue 00:00")]


@pytest.mark.parametrize("hours", ['start = "15:45", end = "07:15"', 'start = "07:15", end = "07:15"'])
def test_two_times_that_are_confused_are_no_night(fault, hours):
    new = f'days = "mon-fri", {hours} }}]\nlift'
    assert "goes on past midnight takes up to 12 hours" in fault("shop.toml", HOURS, new)


def test_who_came_last_night_is_there_until_the_morning(edit):
    shop = read(edit("shop.toml", HOURS, 'days = "mon", start = "20:00", end = "04:00" }]\nlift'))
    there = Attendance(shop, UTC, ())
    here = [
        there.here("OP1", datetime(2026, 3, day, hour, tzinfo=UTC))
        for day, hour in ((2, 19), (2, 23), (3, 3), (3, 5))
    ]
    assert here == [False, True, True, False]


@pytest.mark.parametrize(
    ("days", "weekdays"),
    [("sun-thu", (0, 1, 2, 3, 6)), ("fri-mon", (0, 4, 5, 6)), ("mon-sun", tuple(range(7)))],
)
def test_a_row_of_days_may_go_on_over_the_sunday(edit, days, weekdays):
    shop = read(edit("shop.toml", HOURS, f'days = "{days}", start = "20:00", end = "04:00" }}]\nlift'))
    assert shop.people["OP1"].presence[0].weekdays == weekdays
