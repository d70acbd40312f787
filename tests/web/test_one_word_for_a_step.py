"""A step is called by one word on its button, in the log, in plans and in prints."""

from __future__ import annotations

from flatstock.actions.event_words import WORDS
from flatstock.prints.plan_words import STEP_WORDS

#: kind of event and step of a plan
SAME = {"prepared": "prepare", "loaded": "load", "transferred": "transfer", "demoulded": "demould"}


def test_the_log_and_the_plan_call_a_step_by_the_word_of_its_button() -> None:
    for kind, step in SAME.items():
        assert WORDS[kind] == kind
        assert STEP_WORDS[step] == step
