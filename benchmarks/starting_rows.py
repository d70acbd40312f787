"""Supply, purchases and rooms: exact answers beside trying everything, and beside buying as soon as there is money."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from benchmarks.block_rows import block_rows
from benchmarks.room_rows import room_rows
from benchmarks.square_rows import square_rows
from benchmarks.table import Peer, Row
from benchmarks.timing import median_time
from flatstock.evidence import Value
from flatstock.starting.outlay.follow import follow, keeps_cash
from flatstock.starting.outlay.question import Necessity, Purchase, Question
from flatstock.starting.outlay.stage import stage
from flatstock.starting.supply.allocation import best_allocation, movable
from flatstock.starting.supply.answer import answer
from flatstock.starting.supply.states import states
from flatstock.workshop.currents import line_current
from flatstock.workshop.supply import Load, Rule, Supply, Use

__all__ = ["starting_rows"]

CASES, SEED = 25, 5
RESOURCES = ("press", "moulds", "cooling", "people", "saw")


def starting_rows(*, quick: bool) -> Iterator[Row]:
    """Twelve one-phase loads; twelve purchases over 36 months; rooms; public layouts."""
    yield from _allocation(quick)
    yield _staging(quick)
    yield from room_rows(quick=quick)
    yield from square_rows(quick=quick)
    yield from block_rows(quick=quick)


def _supply(loads: int) -> Supply:
    draw = random.Random(SEED)
    one_phase = [
        Load(id=f"X{n}", connection="LN", power=draw.uniform(200, 3000), power_factor=draw.uniform(0.7, 1.0),
             control="motor", phase=1)
        for n in range(loads)
    ]  # fmt: skip
    heat = Load(
        id="HEAT",
        connection="3P",
        power=18e3,
        power_factor=1.0,
        control="on_off",
        elements=12,
        continuous=True,
    )
    return Supply(
        shop="", kind="grid", rule="IEC", phases=3, volts_LL=400.0, volts_LN=230.0, rated=40.0, characteristic="C",
        cable_area=None, cable=None, method=None, ambient=30.0, residual=None, generator=None,
        energy_price=Value.sure(0.0), demand_price=0.0, loads=(heat, *one_phase),
        rules=(Rule(when="X0", then="HEAT", share=0.75, wired=True),), use=Use(),
    )  # fmt: skip


def _allocation(quick: bool) -> Iterator[Row]:
    supply = _supply(6 if quick else 12)
    loads = movable(supply)
    tried = 3 ** len(loads)
    part = min(tried, 20_000)
    amps = [line_current(one, supply) for one in loads]
    start, least = time.perf_counter(), float("inf")
    for _, way in zip(range(part), product(range(3), repeat=len(amps)), strict=False):
        sums = [0.0, 0.0, 0.0]
        for at, current in zip(way, amps, strict=True):
            sums[at] += current
        least = min(least, max(sums))
    yield Row(
        work=f"best allocation of {len(loads)} one-phase loads, proven",
        seconds=median_time(lambda: best_allocation(supply, loads), runs=3),
        target=2.0,
        setting=f"all {tried} allocations, two states",
        peers=(
            Peer(
                name="the same one by one in plain Python, one state",
                seconds=(time.perf_counter() - start) / part * tried,
                setting=f"{part} measured, scaled",
            ),
        ),
    )
    yield Row(
        work=f"whole supply answer, {len(loads)} one-phase loads",
        seconds=median_time(lambda: answer(supply, None), runs=1 if quick else 3),
        target=2.0,
        note="with every remedy tried, where it is over",
    )
    rules = tuple(Rule(when=one.id, then="HEAT", share=0.75, wired=True) for one in loads[:6])
    held = replace(supply, rules=rules)
    yield Row(
        work=f"whole supply answer, {len(loads)} one-phase loads, {len(rules)} interlocks",
        seconds=median_time(lambda: answer(held, None), runs=1 if quick else 3),
        target=2.0,
        note=f"{len(states(held))} worst states, exact",
    )


def outlay(draw: random.Random, purchases: int, months: int) -> Question:
    """Twelve purchases as a workshop has them, drawn: six or so required, needs, leads, running costs."""
    kinds: list[Necessity] = ["cannot_press"] * 3 + ["cannot_press_safely", "cannot_sell"]
    kinds += ["faster"] * purchases
    del kinds[purchases:]
    made = []
    for n, kind in enumerate(kinds):
        gives = {
            "cannot_press": {RESOURCES[n % 3]: float(draw.choice([16, 18, 24, 40]))},
            "cannot_sell": {"saw": 80.0, "people": float(draw.choice([16, 24, 32]))},
        }.get(
            kind,
            {
                name: float(draw.choice([8, 10, 16, 20]))
                for name in draw.sample(RESOURCES, draw.choice([1, 2]))
            },
        )
        made.append(Purchase(
            id=f"P{n}", what="", cost=float(draw.choice([300, 800, 1500, 2800, 5000, 9000])), kind="assumed",
            necessity=kind, lead=draw.choice([0, 1, 1, 2, 3, 4]),
            needs=tuple(f"P{k}" for k in range(n) if draw.random() < 0.12),
            gives={} if kind == "cannot_press_safely" else gives,
            running=float(draw.choice([0, 0, 0, 0, 200, 900])),
        ))  # fmt: skip
    needed = sum(one.cost for one in made if one.required)
    return Question(
        shop="", currency=None, starts=None, months=months, weeks=4.3333,
        cash=needed * draw.uniform(1.0, 1.5) + draw.choice([2000, 8000]), overdraft=float(draw.choice([0, 2000])),
        discount=0.0, price=60.0, variable=22.0, fixed=float(draw.choice([800, 1800])), yield_=0.94,
        demand=tuple(sorted(draw.uniform(0, 45) for _ in range(months))), resources=RESOURCES, have={},
        purchases=tuple(made),
    )  # fmt: skip


def _as_soon_as_there_is_money(question: Question) -> float | None:
    """Buy everything in the order of its necessity, each in the first month that keeps the cash; the last cash."""
    ranks = ("cannot_press", "cannot_press_safely", "cannot_sell", "faster", "nicer")
    orders: dict[str, int] = {}
    for one in sorted(question.purchases, key=lambda p: (ranks.index(p.necessity), p.cost)):
        for month in range(question.months):
            trial = orders | {one.id: month}
            if all(orders.get(n, question.months) <= month for n in one.needs) and keeps_cash(
                question, follow(replace(question), trial)
            ):
                orders = trial
                break
    return follow(question, orders)[-1].end if orders else None


def _staging(quick: bool) -> Row:
    draw = random.Random(SEED)
    cases = [outlay(draw, 6 if quick else 12, 12 if quick else 36) for _ in range(3 if quick else CASES)]
    found = [stage(one) for one in cases]
    times = sorted(one.seconds for one in found)
    start = time.perf_counter()
    greedy = [_as_soon_as_there_is_money(one) for one in cases]
    took = (time.perf_counter() - start) / len(cases)
    better = [
        exact.cash_end - plain
        for exact, plain in zip(found, greedy, strict=True)
        if exact.cash_end is not None and plain is not None
    ]
    proven = sum(one.status in ("optimal", "impossible") for one in found)
    ahead = sum(better) / len(better) if better else 0.0
    return Row(
        work=f"staging of {len(cases[0].purchases)} purchases over {cases[0].months} months",
        seconds=times[len(times) // 2],
        target=2.0,
        setting=f"median of {len(cases)} drawn cases, {proven} proven; slowest {times[-1]:.2g} s",
        peers=(
            Peer(
                name="buying each as soon as there is money",
                seconds=took,
                setting=f"no proof; leaves {ahead:.0f} less on average",
            ),
        ),
    )
