"""A date that falls at night says from when somebody is there to hand the sheets over."""

from datetime import UTC, datetime

import pytest

from flatstock.actions.plan_hours import somebody_there
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.prints.text.promise import hand_over_words


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hours") / "shop"
    copy_to(folder)
    return open_workshop(folder)


@pytest.mark.parametrize(
    ("ready", "opens"),
    [
        ("2026-03-03T03:44", "2026-03-03T07:15"),  # at night
        ("2026-03-03T12:10", "2026-03-03T12:10"),  # while somebody is there
        ("2026-03-06T18:00", "2026-03-09T07:15"),  # on a Friday evening
        ("2026-03-06T15:45", "2026-03-09T07:15"),  # as the last one leaves
    ],
)
def test_it_is_the_first_minute_at_which_somebody_is_there(shop, ready, opens):
    moment, there = (datetime.fromisoformat(text).replace(tzinfo=UTC) for text in (ready, opens))
    assert somebody_there(shop, moment, zone=UTC) == there


def test_the_words_say_when_it_can_be_handed_over_only_where_nobody_is_there_before():
    night = {"earliest": "2026-03-03T03:44:00+00:00", "hand_over": "2026-03-03T07:15:00+00:00"}
    assert "handed over from Tue 3 March 2026 at 07:15" in hand_over_words(night)
    assert hand_over_words({**night, "earliest": night["hand_over"]}) == ""
