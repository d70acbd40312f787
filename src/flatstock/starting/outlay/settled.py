"""Whether what must be settled first is settled in time: dates of the checklist against the months of the plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from flatstock.starting.outlay.follow import Month, first_sale
from flatstock.starting.outlay.question import Check, Question

__all__ = ["month_starts", "overdue", "too_late"]


def month_starts(starts: date, month: int) -> date:
    """First day of a month of the plan; the 29th and later become the 28th, which every month has.

    >>> month_starts(date(2026, 11, 15), 3)
    datetime.date(2027, 2, 15)
    """
    years, number = divmod(starts.month - 1 + month, 12)
    return date(starts.year + years, number + 1, min(starts.day, 28))


def too_late(question: Question, orders: Mapping[str, int], months: Sequence[Month]) -> list[str]:
    """Open lines that are to be settled only after the plan has begun what can't start before them.

    A line without a date, or a plan without one, says nothing.
    """
    found = []
    for one in question.checks:
        month = _begins(one, orders, months)
        if one.done or one.date is None or month is None or question.starts is None:
            continue
        begins = month_starts(question.starts, month)
        if one.date > begins:
            found.append(
                f"{one.id} is to be settled on {one.date}, but in this plan {_words(one.before)} on {begins} (month"
                f" {month}), which must wait for it: settle it sooner, or order later."
            )
    return found


def overdue(checks: Sequence[Check], today: date) -> list[str]:
    """Lines whose day has gone by, and lines that are settled with nothing to show for it."""
    late = [f"{one.id} ({one.date})" for one in checks if not one.done and one.date and one.date < today]
    bare = [one.id for one in checks if one.done and not one.evidence]
    return [
        *([f"Past their day and still open: {', '.join(late)}."] if late else []),
        *([f"Settled, but no evidence file is named: {', '.join(bare)}."] if bare else []),
    ]


def _begins(one: Check, orders: Mapping[str, int], months: Sequence[Month]) -> int | None:
    """The month in which the plan begins what the line stands before; None: it never does."""
    if one.before == "lease":
        return 0
    if one.before == "first_melt":
        return next((month.month for month in months if month.capacity > 0), None)
    if one.before == "first_sale":
        return first_sale(list(months))
    return orders.get(one.before)


def _words(before: str) -> str:
    said = {"lease": "the lease begins", "first_melt": "hot work begins", "first_sale": "selling begins"}
    return said.get(before, f"{before} is ordered")
