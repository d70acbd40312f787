"""Why the first sheet is not sold earlier, and what a late delivery does."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flatstock.starting.outlay.follow import CENT, Orders, first_sale, follow, keeps_cash
from flatstock.starting.outlay.question import Question

__all__ = ["Chain", "Delay", "Link", "chain", "delays"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One purchase of the chain."""

    id: str
    order: int
    arrive: int
    because: str  #: why it was not ordered a month earlier


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """What the first sale waits for, first link first."""

    links: tuple[Link, ...]
    waits_for_demand: bool


def chain(question: Question, orders: Orders) -> Chain | None:
    """From the last required arrival back to month 0; None where nothing is ever sold."""
    sale = first_sale(follow(question, orders))
    if sale is None:
        return None
    by_id = question.by_id
    arrive = {name: at + by_id[name].lead for name, at in orders.items()}
    required = [one.id for one in question.required if one.id in orders]
    ready = max((arrive[name] for name in required), default=0)
    links: list[Link] = []
    name = max((n for n in required if arrive[n] == ready), key=lambda n: (by_id[n].lead, n), default=None)
    while name is not None:
        at = orders[name]
        before = next((n for n in by_id[name].needs if orders.get(n) == at), None)
        links.append(
            Link(id=name, order=at, arrive=arrive[name], because=_because(question, orders, name, before))
        )
        name = before
    return Chain(links=tuple(reversed(links)), waits_for_demand=sale > ready)


def _because(question: Question, orders: Orders, name: str, before: str | None) -> str:
    at = orders[name]
    if at == 0:
        return "ordered at once"
    if before is not None:
        return f"ordered with {before}, which it needs"
    earlier = dict(orders) | {name: at - 1}
    if not keeps_cash(question, follow(question, earlier)):
        return "the cash is not there a month earlier"
    end, sooner = follow(question, orders)[-1].end, follow(question, earlier)[-1].end
    return "a month earlier would sell nothing more" if sooner <= end + CENT else "ordered when it pays"


@dataclass(frozen=True, slots=True, kw_only=True)
class Delay:
    """The same plan with one delivery a month late."""

    id: str
    first_sale: int | None
    cash_end: float
    lowest: float
    keeps: bool  #: cash stays above the overdraft


def delays(question: Question, orders: Orders) -> list[Delay]:
    """Every purchase of the plan a month late, the dearest first."""
    found = []
    for name in orders:
        late = replace(question, purchases=tuple(
            replace(one, lead=one.lead + 1) if one.id == name else one for one in question.purchases
        ))  # fmt: skip
        months = follow(late, orders)
        found.append(Delay(
            id=name, first_sale=first_sale(months), cash_end=months[-1].end,
            lowest=min(min(one.paid_to, one.end) for one in months), keeps=keeps_cash(late, months),
        ))  # fmt: skip
    return sorted(found, key=lambda one: (one.cash_end, one.id))
