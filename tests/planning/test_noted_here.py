"""Who was noted as come or gone counts beside their hours, as on the run board."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from flatstock.planning.problem.clock import Clock, Span
from flatstock.planning.problem.noted_here import with_noted
from flatstock.workshop.today import Here

MIDNIGHT = datetime(2026, 3, 2, tzinfo=UTC)
CLOCK = Clock(origin=MIDNIGHT, zone=UTC)
HOURS = [Span(435, 720), Span(750, 945)]  # 07:15 to 12:00 and 12:30 to 15:45


def there(*said, beyond=0):
    told = [Here(person="OP1", at=MIDNIGHT + timedelta(minutes=at), here=here) for at, here in said]
    return with_noted(HOURS, told, CLOCK, beyond=beyond)


def test_whoever_comes_before_their_hours_is_here_until_they_begin():
    assert there((400, True)) == [Span(400, 720), Span(750, 945)]


def test_and_to_when_they_are_noted_as_gone():
    assert there((380, True), (400, False)) == [Span(380, 400), *HOURS]


def test_whoever_goes_within_their_hours_is_back_when_the_next_begin():
    assert there((600, False)) == [Span(435, 600), Span(750, 945)]


def test_whoever_comes_back_within_their_hours_is_here_again():
    assert there((600, False), (660, True)) == [Span(435, 600), Span(660, 720), Span(750, 945)]


def test_whoever_comes_after_their_hours_stays_for_what_is_under_way_alone():
    assert there((1000, True), beyond=1020) == [*HOURS, Span(1000, 1020)]
    assert there((1000, True), beyond=990) == HOURS


def test_whoever_stays_at_lunch_is_here_through_it():
    assert there((720, True)) == [Span(435, 945)]
