"""The week that purchases are measured by: the orders on file by kind, as many as anybody asks for."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from flatstock.errors import Fault, Refused
from flatstock.starting.outlay.question import Question
from flatstock.workshop.shop import Order, Workshop

__all__ = ["most_asked", "usual_week"]

MOST = 60  #: sheets that a week is asked for; beyond it a search says little in such a time
PLENTY = 100_000.0  # [kg] of every lot: stock limits no measured week


def most_asked(question: Question) -> int:
    """The most sheets a week that are worth measuring: nobody asks for more."""
    return min(MOST, max(1, ceil(max(question.demand, default=1.0))))


def usual_week(shop: Workshop, asked: int) -> Workshop:
    """The shop with so many sheets to make, of the kinds on its order book in their shares, none with a date.

    Raises
    ------
    Refused
        There is no order.
    """
    if not shop.orders:
        what = "there is no order, so nothing says what a usual week presses"
        raise Refused(Fault("orders.csv", what, "write a few usual ones"))
    alike: dict[tuple[object, ...], tuple[Order, int]] = {}
    for order in shop.orders.values():
        first, count = alike.get(order.recipe, (order, 0))
        alike[order.recipe] = (first, count + order.sheets)
    total = sum(count for _, count in alike.values())
    exact = [(first, asked * count / total) for first, count in alike.values()]
    counts = {first.id: int(share) for first, share in exact}
    for first, _ in sorted(exact, key=lambda one: (int(one[1]) - one[1], one[0].id))[
        : asked - sum(counts.values())
    ]:
        counts[first.id] += 1
    orders = {
        first.id: replace(first, sheets=counts[first.id], due=None, condition=0.0)
        for first, _ in alike.values()
        if counts[first.id]
    }
    lots = {name: replace(lot, mass=PLENTY) for name, lot in shop.lots.items()}
    return replace(shop, orders=orders, lots=lots)
