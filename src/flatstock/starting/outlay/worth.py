"""Net present value, break-even, tornado: what a plan is worth, and what moves it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from flatstock.starting.outlay.follow import Orders, follow
from flatstock.starting.outlay.question import Question

__all__ = ["DIAL_IN", "Bar", "break_even", "changed", "monthly_rate", "npv", "present_value", "tornado"]


def monthly_rate(yearly: float) -> float:
    """What a yearly rate is a month, compounded: (1 + r)^(1/12) - 1, both as shares.

    >>> round(100 * monthly_rate(0.09), 4)
    0.7207
    """
    return float((1 + yearly) ** (1 / 12) - 1)


def present_value(paid: list[float], income: list[float], rate: float) -> float:
    """Payments at the start of each period, income at its end, `rate` a period.

    >>> round(present_value([10_000, 0, 0, 0, 0], [3000] * 5, 0.12), 2)
    814.33
    """
    pairs = zip(paid, income, strict=True)
    return sum(-out / (1 + rate) ** t + came / (1 + rate) ** (t + 1) for t, (out, came) in enumerate(pairs))


def npv(question: Question, orders: Orders) -> float:
    """Of a plan, `cash_start` left out; it goes on through a negative balance."""
    months = follow(question, orders)
    paid, income = [one.paid for one in months], [one.income for one in months]
    return present_value(paid, income, monthly_rate(question.discount))


DIAL_IN = "dial_in_sheets"  #: a range that only the futures know


def break_even(question: Question) -> float | None:
    """Sheets a week that earn the fixed costs; None where a sheet earns nothing."""
    return None if question.margin <= 0 else question.fixed / (question.margin * question.weeks)


def changed(question: Question, of: str, by: float) -> Question:
    """The question with one number changed by a relative amount; a yield stays within 0 to 1."""
    factor = 1 + by
    match of:
        case "price_per_sheet":
            return replace(question, price=question.price * factor)
        case "variable_per_sheet":
            return replace(question, variable=question.variable * factor)
        case "fixed_per_month":
            return replace(question, fixed=question.fixed * factor)
        case "yield":
            return replace(question, yield_=min(1.0, question.yield_ * factor))
        case "demand_per_week":
            return replace(question, demand=tuple(one * factor for one in question.demand))
        case "cost":
            return replace(
                question, purchases=tuple(replace(p, cost=p.cost * factor) for p in question.purchases)
            )
        case "lead_months":
            late = (replace(p, lead=ceil(p.lead * factor - 1e-9)) for p in question.purchases)
            return replace(question, purchases=tuple(late))
        case _:
            raise ValueError(of)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One number moved alone, the plan kept."""

    of: str
    low: float  #: NPV at the low end of the number's range
    high: float

    @property
    def width(self) -> float:
        """How far it moves the NPV."""
        return abs(self.high - self.low)


def tornado(question: Question, orders: Orders) -> list[Bar]:
    """A bar for each range, widest first; sheets of dialling in have none, as no plan counts them."""
    bars = [
        Bar(
            of=one.of, low=npv(changed(question, one.of, one.low), orders),
            high=npv(changed(question, one.of, one.high), orders),
        )
        for one in question.ranges if one.of != DIAL_IN
    ]  # fmt: skip
    return sorted(bars, key=lambda bar: (-bar.width, bar.of))
