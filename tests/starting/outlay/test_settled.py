"""What must be settled first, against the months in which the plan begins."""

from datetime import date

import pytest

from flatstock.starting.outlay.answer import answer
from flatstock.starting.outlay.question import Check, Purchase, Question
from flatstock.starting.outlay.settled import month_starts, overdue

PRESS = Purchase(
    id="PRESS", what="press", cost=1000.0, kind="assumed", necessity="cannot_press", lead=2, needs=(),
    gives={"press": 10.0}, running=0.0,
)  # fmt: skip


def check(before="first_melt", day=None, *, done=False, evidence=None, name="INSURER"):
    return Check(
        id=name, what="agreed", owner=None, date=day, evidence=evidence, before=before, done=done
    )  # fmt: skip


def told(*checks, starts=date(2026, 3, 1)):
    question = Question(
        shop="", currency=None, starts=starts, months=6, weeks=4.0, cash=5000.0, overdraft=0.0, discount=0.0,
        price=60.0, variable=20.0, fixed=10.0, yield_=1.0, demand=(8.0,) * 6, resources=("press",), have={},
        purchases=(PRESS,), ranges=(), people=(), checks=checks,
    )  # fmt: skip
    return [one for one in answer(question, runs=5).warnings if "is to be settled on" in one]


@pytest.mark.parametrize(
    ("before", "day"),
    [("lease", 1), ("PRESS", 1)],
)
def test_a_line_settled_on_the_day_the_plan_begins_is_in_time_and_a_day_later_is_not(before, day):
    assert told(check(before, date(2026, 3, day))) == []
    (words,) = told(check(before, date(2026, 3, day + 1)))
    assert "INSURER" in words
    assert "2026-03-01" in words


@pytest.mark.parametrize("before", ["first_melt", "first_sale"])
def test_what_stands_before_the_first_melt_has_until_everything_needed_is_there(before):
    assert told(check(before, date(2026, 5, 1))) == []
    (words,) = told(check(before, date(2026, 5, 2)))
    assert "(month 2)" in words


def test_what_is_settled_or_has_no_day_or_stands_before_what_is_never_bought_is_never_late():
    late = date(2027, 1, 1)
    assert told(check(day=late, done=True), check(name="A"), check("PRINTER", late, name="B")) == []
    assert told(check(day=late), starts=None) == []


def test_lines_past_their_day_and_lines_settled_with_nothing_to_show_are_named():
    yesterday, today = date(2026, 3, 1), date(2026, 3, 2)
    said = overdue(
        [check(day=yesterday, name="LATE"), check(day=today, name="TODAY"), check(done=True, name="BARE"),
         check(day=yesterday, done=True, evidence="letter.pdf", name="GOOD")],
        today,
    )  # fmt: skip
    assert [name in " ".join(said) for name in ("LATE", "TODAY", "BARE", "GOOD")] == [
        True,
        False,
        True,
        False,
    ]


def test_a_month_of_the_plan_starts_on_the_day_its_first_does():
    assert month_starts(date(2026, 11, 15), 2) == date(2027, 1, 15)
    assert month_starts(date(2027, 1, 31), 1) == date(2027, 2, 28)
