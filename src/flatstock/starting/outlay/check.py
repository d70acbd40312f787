"""Judges a plan of purchases by every rule, without the search that made it."""

from __future__ import annotations

from flatstock.starting.outlay.follow import CENT, Orders, follow
from flatstock.starting.outlay.question import Question

__all__ = ["faults"]


def faults(question: Question, orders: Orders, *, cash_end: float | None = None) -> list[str]:
    """Everything wrong with a plan, in words; empty when it can be followed. `cash_end` as the plan claims it."""
    by_id = question.by_id
    found = [f"{name} is no purchase." for name in orders if name not in by_id]
    known = {name: at for name, at in orders.items() if name in by_id}
    for name, at in known.items():
        if not 0 <= at < question.months:
            found.append(f"{name} is ordered in month {at}, outside 0 to {question.months - 1}.")
        for need in by_id[name].needs:
            if need not in known:
                found.append(f"{name} is ordered without {need}, which it needs.")
            elif known[need] > at:
                found.append(f"{name} is ordered in month {at}, before {need} in month {known[need]}.")
    cash = question.cash
    for one in follow(question, known):
        cash += one.income - one.paid
        for amount, when in ((one.paid_to, "after paying"), (one.end, "at the end of")):
            if amount < -question.overdraft - CENT:
                found.append(f"Cash is {amount:.2f} {when} month {one.month}, under -{question.overdraft:g}.")
        if one.made > 0:
            late = [p.id for p in question.required if known.get(p.id, question.months) + p.lead > one.month]
            found += [f"Month {one.month} presses before {name} is there." for name in late]
    if cash_end is not None and abs(cash - cash_end) > 1e-4:
        found.append(f"Cash at the end is {cash:.2f}, not {cash_end:.2f}.")
    return found
