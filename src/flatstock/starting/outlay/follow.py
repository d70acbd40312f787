"""A plan of orders followed month by month, by the rules of `flatstock.outlay/1`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flatstock.starting.outlay.question import Question

__all__ = ["Month", "Orders", "capacity", "first_sale", "follow", "keeps_cash", "missing", "there"]

Orders = Mapping[str, int]  #: month in which each purchase is ordered; what is not bought is not in it
CENT = 1e-6  # sums of money that differ by less are equal


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """One month of a plan."""

    month: int
    capacity: float  #: sheets a week
    tightest: tuple[str, ...]  #: resources; empty while something required is missing
    missing: tuple[str, ...]  #: what is required and not there yet
    made: float
    sold: float
    paid: float  #: for orders
    running: float
    paid_to: float  #: cash after paying
    end: float  #: cash at the end
    income: float  #: of the month, without orders


def there(question: Question, orders: Orders, month: int) -> list[str]:
    """What has arrived by the start of `month`; a lead of 0 is there at once."""
    by_id = question.by_id
    return [name for name, at in orders.items() if at + by_id[name].lead <= month]


def missing(question: Question, names: list[str] | tuple[str, ...]) -> tuple[str, ...]:
    """What is required and not among these purchases."""
    return tuple(one.id for one in question.required if one.id not in names)


def capacity(question: Question, names: list[str] | tuple[str, ...]) -> tuple[float, tuple[str, ...]]:
    """Sheets a week with these purchases there, and the resources that limit them; 0 until all is there.

    As a planned week has it where one was measured, else the least over resources of what is typed.
    """
    if missing(question, names) or not question.two_hands:
        return 0.0, ()
    if question.measured is not None and (week := question.measured.at(names)) is not None:
        return week.sheets, week.tightest
    by_id = question.by_id
    sums = {
        resource: question.have.get(resource, 0.0)
        + sum(by_id[name].gives.get(resource, 0.0) for name in names)
        for resource in question.resources
    }
    least = min(sums.values(), default=0.0)
    return least, tuple(name for name, amount in sums.items() if amount <= least + CENT)


def follow(question: Question, orders: Orders) -> list[Month]:
    """Every month of a plan; cash may fall under anything here, `keeps_cash` judges that."""
    cash, found, by_id = question.cash, [], question.by_id
    for month in range(question.months):
        paid = sum(by_id[name].cost for name, at in orders.items() if at == month)
        names = there(question, orders, month)
        most, tightest = capacity(question, names)
        made = min(most, question.demand[month]) * question.weeks
        sold = made * question.yield_
        running = sum(by_id[name].running for name in names)
        income = sold * question.price - made * question.variable - question.fixed - running
        found.append(
            Month(
                month=month,
                capacity=most,
                tightest=tightest,
                missing=missing(question, names),
                made=made,
                sold=sold,
                paid=paid,
                running=running,
                paid_to=cash - paid,
                end=cash - paid + income,
                income=income,
            )
        )
        cash = found[-1].end
    return found


def keeps_cash(question: Question, months: list[Month]) -> bool:
    """True where the account is never under the overdraft, after paying or at a month's end."""
    return all(min(one.paid_to, one.end) >= -question.overdraft - CENT for one in months)


def first_sale(months: list[Month]) -> int | None:
    """The first month in which something is sold."""
    return next((one.month for one in months if one.sold > 0), None)
