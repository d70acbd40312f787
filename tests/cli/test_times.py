"""Times as people write them."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import WrongWords
from flatstock.times import arrivals, clock, moment, now

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")


def at(text, after=NOON, zone=UTC):
    return moment(text, zone=zone, after=after, where="--at")


@pytest.mark.parametrize(
    ("text", "iso"),
    [
        ("13:30", "2026-03-02T13:30:00+00:00"),
        ("08:00", "2026-03-03T08:00:00+00:00"),
        ("8:00", "2026-03-03T08:00:00+00:00"),
        ("12:00", "2026-03-02T12:00:00+00:00"),
        ("2026-03-05T08:15", "2026-03-05T08:15:00+00:00"),
        ("2026-03-05 08:15", "2026-03-05T08:15:00+00:00"),
        ("2026-03-05T08:15+02:00", "2026-03-05T08:15:00+02:00"),
        ("2026-03-05T08:15Z", "2026-03-05T08:15:00+00:00"),
    ],
)
def test_a_time_is_understood(text, iso):
    assert at(text).isoformat() == iso


@pytest.mark.parametrize("text", ["25:00", "12:60", "noon", "8", "", "2026-13-01T08:00"])
def test_what_is_no_time_is_told(text):
    with pytest.raises(WrongWords, match="is no time; write 08:00"):
        at(text)


@given(
    after=st.datetimes(datetime(2020, 1, 1), datetime(2040, 1, 1), timezones=st.just(UTC)), clock=st.times()
)
def test_the_next_such_moment_is_never_past_and_less_than_a_day_away(after, clock):
    found = at(f"{clock:%H:%M}", after=after)
    assert timedelta(0) <= found - after < timedelta(days=1)
    assert (found.hour, found.minute) == (clock.hour, clock.minute)


def test_a_night_in_which_the_clocks_change_has_its_true_length():
    """Central European summer time began on 2026-03-29 at 02:00 (last Sunday of March)."""
    evening = at("2026-03-28T20:00", zone=BERLIN)
    assert at("08:00", after=evening, zone=BERLIN) - evening == timedelta(hours=11)


def test_a_practice_workshop_stands_still_on_its_day():
    clock = datetime(2031, 5, 6, 15, 0, tzinfo=UTC)
    assert now(None, zone=UTC, today=date(2026, 3, 2), clock=clock).isoformat() == "2026-03-02T07:00:00+00:00"
    assert (
        now("13:00", zone=UTC, today=date(2026, 3, 2), clock=clock).isoformat() == "2026-03-02T13:00:00+00:00"
    )
    assert now(None, zone=UTC, today=None, clock=clock) == clock


def test_moulds_arrive_on_the_day_of_the_question_even_before_it():
    found = arrivals(["09:00", "12:54"], zone=UTC, now=NOON + timedelta(hours=1), where="--mould")
    assert [f"{time:%d %H:%M}" for time in found] == ["02 09:00", "02 12:54"]


def test_a_mould_written_before_one_that_came_earlier_is_refused():
    """Lowest first: re-sorting without a word would put the later mould under the earlier one."""
    with pytest.raises(WrongWords, match="09:00 does not follow the mould written before it, 12:00"):
        arrivals(["12:00", "09:00"], zone=UTC, now=NOON, where="--mould")


def test_a_mould_of_the_next_morning_is_not_laid_under_one_of_the_evening():
    found = arrivals(["22:00", "10:30"], zone=UTC, now=NOON, where="--mould")
    assert [f"{time:%d %H:%M}" for time in found] == ["02 22:00", "03 10:30"]


def test_moulds_with_their_day_may_be_written_in_any_order():
    found = arrivals(["2026-03-02T12:00", "2026-03-02T09:00"], zone=UTC, now=NOON, where="--mould")
    assert [f"{time:%d %H:%M}" for time in found] == ["02 12:00", "02 09:00"]


def test_moulds_that_arrive_after_midnight_arrive_the_next_day():
    found = arrivals(["22:00", "23:30", "00:40", "01:10"], zone=UTC, now=NOON, where="--mould")
    assert [f"{time:%d %H:%M}" for time in found] == ["02 22:00", "02 23:30", "03 00:40", "03 01:10"]


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (datetime(2026, 3, 2, 12, 30), "12:30"),
        (datetime(2026, 3, 8, 12, 30), "Sun 12:30"),
        (datetime(2026, 3, 9, 12, 30), "Mon 9 Mar 12:30"),  # of the same weekday
        (datetime(2026, 2, 20, 12, 30), "Fri 20 Feb 12:30"),
        (datetime(2025, 12, 31, 12, 30), "Wed 31 Dec 2025 12:30"),
    ],
)
def test_a_weekday_that_could_be_of_another_week_has_its_date(at: datetime, said: str) -> None:
    assert clock(at, beside=datetime(2026, 3, 2, 9, 0)) == said


def test_a_time_may_be_said_with_am_and_pm():
    zone = UTC
    at = datetime(2026, 3, 2, 9, 0, tzinfo=zone)
    said = {"3:10 pm": (15, 10), "12:05 AM": (0, 5), "12:30 p.m.": (12, 30), "8:00am": (8, 0)}
    for text, (hour, minute) in said.items():
        found = moment(text, zone=zone, after=at, where="at")
        assert (found.hour, found.minute) == (hour, minute), text
    for wrong in ("13:00 pm", "0:30 am", "3:75 pm"):
        with pytest.raises(WrongWords):
            moment(wrong, zone=zone, after=at, where="at")
