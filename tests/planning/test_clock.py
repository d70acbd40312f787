"""Spans of minutes: laws that hold whatever the spans, and clocks that change."""

from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.planning.problem.clock import Clock, Span, common, counted, joined, starts_within

spans = st.lists(
    st.tuples(st.integers(0, 200), st.integers(1, 60)).map(lambda t: Span(t[0], t[0] + t[1])), max_size=8
)


def minutes(listed):
    return {minute for span in listed for minute in range(span.start, span.end)}


@given(spans)
def test_joined_spans_hold_the_same_minutes_and_touch_nowhere(listed):
    found = joined(listed)
    assert minutes(found) == minutes(listed)
    assert all(a.end < b.start for a, b in pairwise(found))


@given(spans, spans)
def test_common_minutes_are_those_in_both(one, other):
    assert minutes(common(joined(one), joined(other))) == minutes(one) & minutes(other)


@given(st.lists(spans, min_size=1, max_size=4))
def test_counted_pieces_tell_how_many_are_there_each_minute(people):
    for span, there in counted([joined(p) for p in people], start=0, end=300):
        assert sum(span.start in minutes(p) for p in people) == there


@given(st.lists(spans, min_size=2, max_size=3), st.integers(1, 2), st.integers(1, 20))
def test_a_step_starts_exactly_when_the_same_people_are_there_for_all_of_it(people, needed, length):
    listed = [joined(p) for p in people]
    starts = {
        start
        for span in starts_within(listed, people=needed, minutes=length, start=0, end=300)
        for start in range(span.start, span.end + 1)
    }
    assert starts == {
        start
        for start in range(300 - length + 1)
        if sum(set(range(start, start + length)) <= minutes(p) for p in listed) >= needed
    }


def test_a_day_on_which_the_clocks_go_forward_has_23_hours():
    zone = ZoneInfo("Europe/Berlin")
    clock = Clock(datetime(2026, 3, 29, tzinfo=zone).astimezone(UTC), zone)
    assert clock.minute(datetime(2026, 3, 30, tzinfo=zone)) == 23 * 60
    assert clock.text(23 * 60) == "2026-03-30T00:00:00+02:00"


@pytest.mark.parametrize("minute", [0, 59, 60, 1500])
def test_a_minute_and_its_moment_are_the_same(minute):
    clock = Clock(datetime(2026, 3, 2, tzinfo=UTC), UTC)
    assert clock.minute(clock.moment(minute)) == minute


def test_three_days_over_the_night_on_which_the_clocks_go_forward_are_seventy_two_hours():
    zone = ZoneInfo("Europe/Berlin")
    clock = Clock(datetime(2026, 3, 26, tzinfo=zone), zone)
    friday = clock.minute(datetime(2026, 3, 27, 13, 23, tzinfo=timezone(timedelta(hours=1))))
    assert clock.text(friday + 72 * 60) == "2026-03-30T14:23:00+02:00"


@given(st.integers(0, 20_000))
def test_every_minute_is_read_back_as_the_one_it_was_written_for_however_its_moment_is_told(minute):
    zone = ZoneInfo("Europe/Berlin")
    clock = Clock(datetime(2026, 3, 26, tzinfo=zone), zone)
    told = clock.moment(minute)
    assert (
        clock.minute(told)
        == clock.minute(told.astimezone(zone))
        == clock.minute(told.astimezone(UTC))
        == minute
    )
