"""The next purchase, alone and in pairs: what it does to the tightest resource, and how soon it pays."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import inf

from flatstock.starting.outlay.follow import capacity
from flatstock.starting.outlay.question import Purchase, Question

__all__ = ["Next", "base_names", "nexts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """One purchase or two, on top of what is there and everything required."""

    buy: tuple[str, ...]
    sheets: float  #: a week
    tightest: tuple[str, ...]
    cost: float
    payback: float | None  #: months; None: it never pays


def base_names(question: Question) -> list[str]:
    """Everything required, with what that needs."""
    names, by_id = [one.id for one in question.required], question.by_id
    for name in names:  # grows while it is walked
        names += [need for need in by_id[name].needs if need not in names]
    return names


def nexts(question: Question) -> list[Next]:
    """Singles and pairs of what is not required, best payback first; those that never pay at the end.

    Payback counts sheets up to the largest demand of the plan: cost / (margin of the sheets more - running).
    """
    base, by_id = base_names(question), question.by_id
    before, _ = capacity(question, base)
    rest = [one for one in question.purchases if one.id not in base]
    found = []
    for buy in [*((one,) for one in rest), *combinations(rest, 2)]:
        names = {one.id for one in buy}
        if all(need in base or need in names for one in buy for need in by_id[one.id].needs):
            found.append(_next(question, base, before, buy))
    return sorted(
        found, key=lambda one: (inf if one.payback is None else one.payback, -one.sheets, one.cost, one.buy)
    )


def _next(question: Question, base: list[str], before: float, buy: tuple[Purchase, ...]) -> Next:
    sheets, tightest = capacity(question, [*base, *(one.id for one in buy)])
    most = max(question.demand, default=0.0)
    more = min(sheets, most) - min(before, most)
    cost = sum(one.cost for one in buy)
    earns = more * question.weeks * question.margin - sum(one.running for one in buy)
    return Next(
        buy=tuple(one.id for one in buy), sheets=sheets, tightest=tightest, cost=cost,
        payback=cost / earns if earns > 1e-9 else None,
    )  # fmt: skip
