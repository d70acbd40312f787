"""Many futures of one plan: each range drawn by itself from its triangle, the plan kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from flatstock.starting.outlay.follow import CENT, Orders, capacity
from flatstock.starting.outlay.question import Question, Range
from flatstock.starting.outlay.worth import DIAL_IN, monthly_rate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["EARLY", "RUNS", "SEED", "Risk", "risk"]

RUNS, SEED = 10_000, 20260302
EARLY = 12  #: a workshop that runs out of cash before this month is closed


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """What came out of the runs."""

    runs: int
    seed: int
    p10: float
    p50: float
    p90: float
    mean: float
    below_zero: float  #: share of runs with a negative NPV
    out_of_cash: float  #: share under the overdraft before month 12
    out_of_cash_ever: float
    slump: float  #: NPV where demand and price are both at the low end of their ranges


def risk(question: Question, orders: Orders, *, runs: int = RUNS, seed: int = SEED) -> Risk:
    """Independent triangular draws; every run follows the same rules as `follow`."""
    import numpy as np

    draws = np.random.default_rng(seed)
    factor = {one.of: _factor(one, draws, runs) for one in question.ranges}
    values, lowest, early = _run(question, orders, factor, runs)
    both = {
        one.of: np.full(1, 1 + one.low)
        for one in question.ranges
        if one.of in ("demand_per_week", "price_per_sheet")
    }
    p10, p50, p90 = np.percentile(values, [10, 50, 90])
    return Risk(
        runs=runs,
        seed=seed,
        p10=float(p10),
        p50=float(p50),
        p90=float(p90),
        mean=float(values.mean()),
        below_zero=float((values < 0).mean()),
        out_of_cash=float((early < -question.overdraft - CENT).mean()),
        out_of_cash_ever=float((lowest < -question.overdraft - CENT).mean()),
        slump=float(_run(question, orders, both, 1)[0][0]),
    )


def _factor(one: Range, draws: np.random.Generator, runs: int) -> NDArray[np.float64]:
    """1 + relative change; a range without width is one number."""
    import numpy as np

    if one.low == one.high:
        return np.full(runs, 1 + one.low)
    return 1 + draws.triangular(one.low, one.mode, one.high, runs)


def _run(
    q: Question, orders: Orders, factor: dict[str, NDArray[np.float64]], runs: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """(run,): NPV, lowest cash of all months, lowest cash of the first twelve."""
    import numpy as np

    one = np.ones(runs)
    price = q.price * factor.get("price_per_sheet", one)
    variable = q.variable * factor.get("variable_per_sheet", one)
    fixed = q.fixed * factor.get("fixed_per_month", one)
    yielded = np.minimum(1.0, q.yield_ * factor.get("yield", one))
    cost, by_id = factor.get("cost", one), q.by_id
    arrives = {
        name: at + np.ceil(by_id[name].lead * factor.get("lead_months", one) - 1e-9)
        for name, at in orders.items()
    }
    rate = monthly_rate(q.discount)
    cash, value = np.full(runs, q.cash), np.zeros(runs)
    tuning = q.dial_in * factor.get(DIAL_IN, one)  # sheets still to be rejected
    lowest, early = np.full(runs, np.inf), np.full(runs, np.inf)
    for month in range(q.months):
        paid = sum(by_id[name].cost for name, at in orders.items() if at == month) * cost
        cash = cash - paid
        least = cash.copy()
        here = {name: at <= month for name, at in arrives.items()}
        made = (
            np.minimum(_capacity(q, here, runs), q.demand[month] * factor.get("demand_per_week", one))
            * q.weeks
        )
        running = sum((by_id[name].running * is_here for name, is_here in here.items()), np.zeros(runs))
        rejected = np.minimum(made, tuning)
        tuning = tuning - rejected
        income = (made - rejected) * yielded * price - made * variable - fixed - running
        cash = cash + income
        least = np.minimum(least, cash)
        value += -paid / (1 + rate) ** month + income / (1 + rate) ** (month + 1)
        lowest = np.minimum(lowest, least)
        early = lowest.copy() if month < EARLY else early
    return value, lowest, early


def _capacity(q: Question, here: dict[str, NDArray[np.bool_]], runs: int) -> NDArray[np.float64]:
    """(run,): sheets a week."""
    import numpy as np

    by_id = q.by_id
    if not q.two_hands or any(one.id not in here for one in q.required) or not q.resources:
        return np.zeros(runs)
    ready = np.ones(runs, dtype=bool)
    for one in q.required:
        ready &= here[one.id]
    if q.measured is not None:
        return np.where(ready, _of_sets(q, here, runs), 0.0)
    least = np.full(runs, np.inf)
    for resource in q.resources:
        total = np.full(runs, q.have.get(resource, 0.0))
        for name, is_here in here.items():
            total = total + by_id[name].gives.get(resource, 0.0) * is_here
        least = np.minimum(least, total)
    return np.where(ready, least, 0.0)


def _of_sets(q: Question, here: dict[str, NDArray[np.bool_]], runs: int) -> NDArray[np.float64]:
    """(run,): sheets a week, looked up once for each set that is there in any run."""
    import numpy as np

    names = list(here)
    codes = sum((here[name].astype(np.int64) << k for k, name in enumerate(names)), np.zeros(runs, np.int64))
    sheets = np.zeros(runs)
    for code in np.unique(codes):
        there = [name for k, name in enumerate(names) if code >> k & 1]
        sheets[codes == code] = capacity(q, there)[0]
    return sheets
