"""Outlays to ask about: one worked out apart, the demo's, and random small ones."""

from dataclasses import replace
from itertools import product

from flatstock.starting.outlay.follow import first_sale, follow, keeps_cash
from flatstock.starting.outlay.question import Purchase, Question


def a_purchase(name, cost=0.0, lead=0, necessity="faster", gives=None, needs=(), running=0.0):
    return Purchase(
        id=name, what=name, cost=float(cost), kind="assumed", necessity=necessity, lead=lead, needs=tuple(needs),
        gives=gives or {}, running=float(running),
    )  # fmt: skip


def an_outlay(*purchases, **changes):
    said = {
        "shop": "", "currency": None, "starts": None, "months": 12, "weeks": 4.0, "cash": 8200.0, "overdraft": 0.0,
        "discount": 0.0, "price": 30.0, "variable": 0.0, "fixed": 150.0, "yield_": 1.0,
        "demand": (0.0, 0.0, 5.0, 10.0, 10.0, 15.0, 15.0, 15.0, 20.0, 20.0, 20.0, 20.0),
        "resources": ("press", "moulds", "cooling"), "have": {"moulds": 8.0, "cooling": 8.0}, "purchases": purchases,
    }  # fmt: skip
    return Question(**{**said, **changes})


PRESS = a_purchase("PRESS", 6000, 2, "cannot_press", {"press": 30.0})
SAW = a_purchase("SAW", 1500, 1, "cannot_sell")
MOULDS = a_purchase("MOULDS", 1000, 1, gives={"moulds": 8.0})
FANS = a_purchase("FANS", 300, 0, gives={"cooling": 10.0})
M2 = an_outlay(PRESS, SAW, MOULDS, FANS)


def random_outlay(draw, *, purchases, months):
    """A small one from a `random.Random`."""
    resources = ("a", "b", "c")
    made = []
    for n in range(purchases):
        made.append(a_purchase(
            f"P{n}",
            draw.choice([0, 300, 1000, 2500, 6000]),
            draw.choice([0, 0, 1, 1, 2, 3]),
            draw.choice(["cannot_press", "cannot_sell", "faster", "faster", "nicer"]),
            {name: draw.choice([5.0, 8.0, 10.0, 20.0]) for name in resources if draw.random() < 0.5},
            [f"P{k}" for k in range(n) if draw.random() < 0.2],
            draw.choice([0, 0, 0, 100, 400]),
        ))  # fmt: skip
    draw.shuffle(made)
    return an_outlay(
        *made, months=months, cash=float(draw.choice([2000, 5000, 8000, 15000])),
        overdraft=float(draw.choice([0, 0, 1000])), price=float(draw.choice([20, 30, 50])),
        variable=float(draw.choice([0, 10])), fixed=float(draw.choice([0, 150, 500])), yield_=draw.choice([1.0, 0.9]),
        demand=tuple(float(draw.choice([0, 5, 10, 15, 20, 25])) for _ in range(months)), resources=resources,
        have={name: float(draw.choice([0, 0, 5, 10])) for name in resources},
    )  # fmt: skip


def best_of_all(question):
    """Every plan followed, the best by (cash, first sale, number): key and orders; None where none keeps cash."""
    best = None
    for months in product(range(question.months + 1), repeat=len(question.purchases)):
        orders = {p.id: m for p, m in zip(question.purchases, months, strict=True) if m < question.months}
        if any(need not in orders or orders[need] > orders[p.id]
               for p in question.purchases if p.id in orders for need in p.needs):  # fmt: skip
            continue
        followed = follow(question, orders)
        if keeps_cash(question, followed):
            key = key_of(question, followed, orders)
            best = (key, orders) if best is None or key < best[0] else best
    return best


def key_of(question, followed, orders):
    sale = first_sale(followed)
    return round(-followed[-1].end, 6), question.months if sale is None else sale, len(orders)


def without(question, *names):
    return replace(question, purchases=tuple(one for one in question.purchases if one.id not in names))
