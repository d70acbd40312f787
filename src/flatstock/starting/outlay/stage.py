"""The orders that leave most cash at the horizon, exactly: best bound first over sets, then month by month.

A plan is a set of optional purchases, a month F in which everything required is there, and the month of each
order. Cash is not discounted, so months matter only for what is there when, and for what can be paid. For a
set and an F the best that could be earned if money were never short is a bound (`bounds.Bounds`); plans
grow month by month from the largest bound, so the first one that reaches the horizon is the best there is.
Ties: earlier first sale, then fewer purchases. docs/outlay.md has the proof.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from heapq import heappop, heappush
from itertools import combinations
from time import perf_counter
from typing import TYPE_CHECKING

from flatstock.starting.outlay.bounds import Bounds, useful
from flatstock.starting.outlay.follow import CENT, Orders, capacity, first_sale, follow, keeps_cash
from flatstock.starting.outlay.question import Purchase, Question

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Staged", "can_sell", "stage"]

_Best = tuple[tuple[float, int, int], dict[str, int]]
_NODES = 200_000  # after that the best bound left is shown beside the best plan found


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """The best plan, with its proof."""

    orders: dict[str, int] | None  #: None: no plan at all keeps its cash
    status: str  #: `optimal`, `feasible` (stopped early), `impossible`
    cash_end: float | None
    bound: float | None  #: no plan leaves more
    seconds: float


@dataclass(order=True, slots=True)
class _Node:
    """Part of a plan: everything settled before `month`. Ordered by bound, first sale, number of purchases, depth."""

    key: tuple[float, int, int, int]
    month: int = field(compare=False)
    ready: int = field(compare=False)  #: F
    mask: int = field(compare=False)  #: optional purchases that the plan will make
    cash: float = field(compare=False)
    orders: dict[str, int] = field(compare=False)


def stage(question: Question) -> Staged:
    """The plan with most cash at the horizon, and a proof that none has more."""
    return _Search(question).run()


def can_sell(question: Question) -> bool | None:
    """True where some plan gets everything required and keeps its cash; None where that was not settled."""
    found = _Search(question).run(or_nothing=False)
    return True if found.orders is not None else None if found.status == "unknown" else False


class _Search:
    """One search; nothing of it is kept."""

    def __init__(self, question: Question) -> None:
        self.q = question
        self.started = perf_counter()
        self.optional = tuple(useful(question))
        self.bit = {one.id: 1 << k for k, one in enumerate(self.optional)}
        self.bounds = Bounds(question, self.optional)
        self.must = tuple(question.required)
        self.heap: list[_Node] = []
        self.seen: dict[tuple[object, ...], float] = {}

    def run(self, *, or_nothing: bool = True) -> Staged:
        """Best bound first, until nothing unexplored can be better than a plan in hand; buying nothing is one."""
        sets = self._sets()
        upcoming = next(sets, None)
        best: _Best | None = None
        if or_nothing and keeps_cash(self.q, follow(self.q, {})):
            best = (self._key_of({}), {})
        nodes = 0
        while True:
            while upcoming is not None and (not self.heap or upcoming.key <= self.heap[0].key):
                heappush(self.heap, upcoming)
                upcoming = next(sets, None)
            if not self.heap:
                return self._done(best, None)
            node = heappop(self.heap)
            if best is not None and best[0] <= node.key[:3]:
                return self._done(best, None)
            nodes += 1
            if nodes > _NODES:
                return self._done(best, -node.key[0])
            if node.month == self.q.months:
                exact = self._key_of(node.orders)
                if best is None or exact < best[0]:
                    best = (exact, node.orders)
                continue
            self._grow(node)

    def _key_of(self, orders: Orders) -> tuple[float, int, int]:
        months = follow(self.q, orders)
        sale = first_sale(months)
        return _cents(-months[-1].end), self.q.months if sale is None else sale, len(orders)

    def _done(self, best: _Best | None, bound: float | None) -> Staged:
        took = perf_counter() - self.started
        if best is None:
            status = "impossible" if bound is None else "unknown"
            return Staged(orders=None, status=status, cash_end=None, bound=bound, seconds=took)
        end = follow(self.q, best[1])[-1].end
        return Staged(
            orders=best[1],
            status="optimal" if bound is None else "feasible",
            cash_end=end,
            bound=end if bound is None else max(end, bound),
            seconds=took,
        )

    # ---- sets of purchases, largest bound first

    def _sets(self) -> Iterator[_Node]:
        """A first node for every set of optional purchases and every month in which all is ready."""
        import numpy as np

        q = self.q
        if q.margin <= 0:  # a sheet that earns nothing is no reason to buy anything
            return
        masks = np.arange(1 << len(self.optional))
        closed = self._closed(masks)
        arrives = [one.lead for one in self.optional]
        can = [sum(1 << k for k, month in enumerate(arrives) if month <= m) for m in range(q.months)]
        run = sum(one.running for one in self.must)
        earned = [self.bounds.earned[m][masks & can[m]] - run for m in range(q.months)]
        first = max((one.lead for one in self.must), default=0)
        found = []
        for ready in range(first, q.months if self.must else 1):
            spent = self._spent(ready)
            if spent is None:
                continue
            total = np.where(closed & self._survives(ready, earned, spent, masks), 0.0, -np.inf)
            total += q.cash - q.fixed * q.months - spent + sum(earned[ready:]) - self.bounds.costs
            found += [(ready, total)]
        if not found:
            return
        table = np.array([total for _, total in found])
        for at in np.argsort(-table, axis=None, kind="stable"):
            row, mask = divmod(int(at), len(masks))
            if table[row, mask] == -np.inf:
                return
            yield self._node(0, found[row][0], mask, q.cash, {}, float(table[row, mask]))

    def _closed(self, masks: NDArray[np.intp]) -> NDArray[np.bool_]:
        """(mask,): holds all that its purchases, and those required, need."""
        import numpy as np

        closed = np.ones(len(masks), dtype=bool)
        for one in (*self.optional, *self.must):
            holds = np.ones(len(masks), dtype=bool) if one.required else (masks & self.bit[one.id]) > 0
            for need in one.needs:
                if need in self.bit:
                    closed &= ~holds | ((masks & self.bit[need]) > 0)
        return closed

    def _spent(self, ready: int) -> float | None:
        """What everything required costs; None where it can't be paid by then however late it is ordered.

        Before all is ready nothing is sold, so what is required is paid from the cash there is.
        """
        q = self.q
        latest = self._latest(ready, 0)
        if any(month < 0 for month in latest.values()):
            return None
        cash = q.cash
        for month in range(ready + 1):
            cash -= sum(one.cost for one in self.must if latest[one.id] == month)
            if cash < -q.overdraft - CENT:
                return None
            cash -= q.fixed
            if month < ready and cash < -q.overdraft - CENT:
                return None
        return sum(one.cost for one in self.must)

    def _survives(
        self, ready: int, earned: list[NDArray[np.float64]], spent: float, masks: NDArray[np.intp]
    ) -> NDArray[np.bool_]:
        """(mask,): False where cash ends under the overdraft in some month whatever part of the set is paid by then."""
        import numpy as np

        q, alive = self.q, np.ones(len(masks), dtype=bool)
        total = q.cash - spent - q.fixed * ready - self.bounds.costs
        for month in range(ready, q.months):
            total = total + earned[month] - q.fixed
            best = total.copy()
            for bit in range(len(self.optional)):
                halves = best.reshape(-1, 2, 1 << bit)
                halves[:, 1] = np.maximum(halves[:, 1], halves[:, 0])
            alive &= best >= -q.overdraft - CENT
        return alive

    def _node(
        self, month: int, ready: int, mask: int, cash: float, orders: dict[str, int], bound: float
    ) -> _Node:
        sale = next((m for m in range(ready, self.q.months) if self.q.demand[m] > 0), self.q.months)
        size = len(self.must) + mask.bit_count()
        key = (_cents(-bound), sale, size, -month)
        return _Node(key, month, ready, mask, cash, orders)

    # ---- month by month

    @cached_property
    def needed_by(self) -> dict[str, list[Purchase]]:
        """Who needs a purchase, directly."""
        return {
            one.id: [other for other in self.q.purchases if one.id in other.needs] for one in self.q.purchases
        }

    def _latest(self, ready: int, mask: int) -> dict[str, int]:
        """The last month in which each purchase of the set may be ordered; negative: it can't be in time."""
        chosen = self._chosen(mask)
        names = {one.id for one in chosen}
        last: dict[str, int] = {}

        def of(one: Purchase) -> int:
            if one.id not in last:
                waiting = [d for d in self.needed_by[one.id] if d.id in names]
                # what is bought only because another needs it may arrive after the horizon
                own = self.q.months - 1 - (0 if waiting else one.lead)
                own = ready - one.lead if one.required else own
                last[one.id] = min([own, *map(of, waiting)])
            return last[one.id]

        for one in chosen:
            of(one)
        return last

    def _chosen(self, mask: int) -> list[Purchase]:
        return [*self.must, *(one for one in self.optional if mask & self.bit[one.id])]

    @cached_property
    def _latest_of(self) -> dict[tuple[int, int], dict[str, int]]:
        return {}

    def _grow(self, node: _Node) -> None:
        """Every way to order in this month that the plan may still take."""
        setting = (node.ready, node.mask)
        if setting not in self._latest_of:
            self._latest_of[setting] = self._latest(*setting)
        latest = self._latest_of[setting]
        if any(month < 0 for month in latest.values()):
            return
        chosen = self._chosen(node.mask)
        left = [one for one in chosen if one.id not in node.orders]
        due = [one for one in left if latest[one.id] == node.month]
        names = {one.id for one in chosen}
        free = [one for one in left if latest[one.id] > node.month and self._may(one, node, names)]
        by_itself = {one.id for one in free if self._helps_at(one, node)} | {one.id for one in due}
        if sum(one.cost for one in due) > node.cash + self.q.overdraft + CENT:
            return
        for size in range(len(free) + 1):
            for more in combinations(free, size):
                now = {one.id for one in (*due, *more)}
                if all(
                    one.id in by_itself or any(d.id in now for d in self.needed_by[one.id]) for one in more
                ):
                    self._order(node, [*due, *more])

    def _may(self, one: Purchase, node: _Node, names: set[str]) -> bool:
        """False where the same order a month later is never worse: it neither helps nor lets another be ordered."""
        return self._helps_at(one, node) or any(other.id in names for other in self.needed_by[one.id])

    def _helps_at(self, one: Purchase, node: _Node) -> bool:
        """True where some part of the set makes more sheets in the month in which this would arrive."""
        arrives = node.month + one.lead
        if one.required or not node.ready <= arrives < self.q.months:
            return False
        return self._ever_helps(arrives, self.bit[one.id], node.mask)

    @cached_property
    def _helps(self) -> dict[tuple[int, int, int], bool]:
        return {}

    def _ever_helps(self, month: int, bit: int, mask: int) -> bool:
        key = (month, bit, mask)
        if key not in self._helps:
            sheets, part = self.bounds.sheets[month], mask & ~bit
            found, rest = False, part
            while True:
                if sheets[rest | bit] > sheets[rest] + CENT:
                    found = True
                    break
                if rest == 0:
                    break
                rest = (rest - 1) & part
            self._helps[key] = found
        return self._helps[key]

    def _order(self, node: _Node, now: list[Purchase]) -> None:
        q, month = self.q, node.month
        orders = node.orders | {one.id: month for one in now}
        if any(need not in orders for one in now for need in one.needs):
            return
        cash = node.cash - sum(one.cost for one in now)
        if cash < -q.overdraft - CENT:
            return
        cash += self._income(orders, month)
        if cash < -q.overdraft - CENT:
            return
        if month == node.ready - 1 and self._all_there(orders, month):
            return  # ready earlier than this node says: another one's business
        state = (node.ready, node.mask, month, self._on_the_way(orders, month, node.ready))
        if self.seen.get(state, -float("inf")) >= cash - 1e-9:
            return
        self.seen[state] = cash
        bound = cash + self._ahead(month + 1, node, orders)
        heappush(self.heap, self._node(month + 1, node.ready, node.mask, cash, orders, bound))

    def _on_the_way(self, orders: Orders, month: int, ready: int) -> tuple[int, ...]:
        """What of the orders so far still makes a difference: by purchase, when it will be there.

        What has arrived has arrived; what costs nothing to keep may arrive at any time up to `ready`, when
        everything required is there.
        """
        found = []
        for one in self.q.purchases:
            at = orders.get(one.id)
            if at is None:
                found.append(-1)
            elif one.running:
                found.append(max(month + 1, at + one.lead))
            else:
                found.append(0 if one.required else max(month + 1, ready, at + one.lead))
        return tuple(found)

    @cached_property
    def _must_running(self) -> float:
        return sum(one.running for one in self.must)

    @cached_property
    def _by_id(self) -> dict[str, Purchase]:
        return self.q.by_id

    def _income(self, orders: Orders, month: int) -> float:
        """Of one month, by the rules themselves."""
        q, by_id = self.q, self._by_id
        running, sums, required = 0.0, dict.fromkeys(q.resources, 0.0), 0
        for name, at in orders.items():
            one = by_id[name]
            if at + one.lead <= month:
                running += one.running
                required += one.required
                for resource, amount in one.gives.items():
                    if resource in sums:
                        sums[resource] += amount
        made = 0.0
        if required == len(self.must) and q.two_hands:
            most = min((q.have.get(r, 0.0) + amount for r, amount in sums.items()), default=0.0)
            if q.measured is not None:
                most, _ = capacity(q, [n for n, at in orders.items() if at + by_id[n].lead <= month])
            made = min(most, q.demand[month]) * q.weeks
        return made * q.margin - q.fixed - running

    def _all_there(self, orders: Orders, month: int) -> bool:
        return all(one.id in orders and orders[one.id] + one.lead <= month for one in self.must)

    def _ahead(self, start: int, node: _Node, orders: Orders) -> float:
        """The most that the months from `start` can still bring to the cash of this node."""
        q, onward = self.q, self.bounds.onward
        from_here = max(start, node.ready)
        total = -q.fixed * (q.months - start) - self._must_running * (q.months - from_here)
        arrivals: list[tuple[int, int]] = []
        for one in self._chosen(node.mask):
            at = orders.get(one.id)
            if at is None:
                total -= one.cost
            elif one.running and start < node.ready:  # there, and paid for, before all is ready
                total -= one.running * max(0, node.ready - max(start, at + one.lead))
            if not one.required:
                arrivals.append((max(from_here, (start if at is None else at) + one.lead), self.bit[one.id]))
        arrivals.sort()
        mask, since = 0, from_here
        for month, bit in arrivals:
            if month >= q.months:
                break
            total += onward[mask][since] - onward[mask][month]
            mask, since = mask | bit, month
        return total + onward[mask][since]


def _cents(value: float) -> float:
    return round(value, 6)
