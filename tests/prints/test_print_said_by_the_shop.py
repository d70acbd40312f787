"""Answers in a terminal say numbers and times as the shop does, and their columns are as wide as that makes them."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from flatstock.prints.saying import PLAIN, Saying
from flatstock.prints.text import layout
from flatstock.prints.text.card import card_text
from flatstock.prints.text.outlay import outlay_text
from flatstock.prints.text.plan import plan_text
from flatstock.prints.text.promise import promise_text
from flatstock.prints.text.stack import stack_text
from flatstock.prints.text.supply import supply_text

OURS = Saying("comma", "am_pm")
PAST_NOON = re.compile(r"\b(1[3-9]|2[0-3]):\d\d\b")
TEXTS = {
    "plan": plan_text,
    "promise": promise_text,
    "supply": supply_text,
    "outlay": outlay_text,
    "card": lambda document: card_text(document, None),
    "stack": lambda document: stack_text(document, None),
}


@pytest.fixture
def ours():
    layout.said_by(OURS)
    yield
    layout.said_by(PLAIN)


@pytest.mark.parametrize("name", TEXTS)
def test_every_answer_says_comma_am_and_pm_in_eighty_columns(ours, sample, name):
    lines = OURS.words(TEXTS[name](sample(name))).splitlines()
    text = "\n".join(lines)
    assert re.findall(r"(?<![\w.,:/-])\d+\.\d+ ", text) == []
    assert PAST_NOON.findall(text) == []
    assert max(map(layout.width_of, lines)) <= layout.COLUMNS
    assert not any(re.match(r"\s*[ap]m\b", line) for line in lines)
    assert layout.TIE not in text


def test_columns_stay_under_their_heads(ours, sample):
    lines = plan_text(sample("plan")).splitlines()
    head, first = next((a, b) for a, b in pairwise(lines) if a.startswith("  load "))
    assert "8:00 am" in first
    for word, cell in (("sheet", "A"), ("frame", "F12-1"), ("people", "ADA+BO")):
        assert first[head.index(word) :].startswith(cell)


def test_a_plain_shop_reads_points_and_24_hours(sample):
    assert "10:10 C" in " ".join(plan_text(sample("plan")).split())
