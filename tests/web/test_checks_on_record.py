"""Start checks in the list of what happened: which list, and what was not right, as people say it."""

from __future__ import annotations

from datetime import UTC, datetime

from flatstock.actions.event_words import told_words
from flatstock.running.event import Event

AT = datetime(2026, 3, 2, 7, 20, tzinfo=UTC)


def checked(**facts: str) -> Event:
    return Event(id="c", at=AT, noted_at=AT, kind="checked", who=("OP1",), facts=facts)


def test_a_list_that_was_gone_through_says_which() -> None:
    assert told_words(checked(list="start")) == "start checks, every line seen"
    assert told_words(checked(list="closing")) == "closing checks, every line seen"


def test_what_was_not_right_is_told_without_a_skills_key() -> None:
    said = told_words(checked(list="start", wrong="Somebody with the skill hot_transfer is named."))
    assert (
        said
        == "start checks, not right or not looked at: Somebody with the skill for hot transfers is named."
    )
