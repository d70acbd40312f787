"""What the sets of optional purchases can earn at most, month by month: the bound of the search.

Money is not short in the bound: in each month the best part of what can have arrived is there. No plan with
that set earns more (docs/outlay.md).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from flatstock.starting.outlay.question import Purchase, Question

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Bounds", "useful"]


def useful(question: Question) -> list[Purchase]:
    """Optional purchases that some plan may want: they give something, or something useful needs them."""
    by_id = question.by_id
    wanted = {
        one.id
        for one in question.purchases
        if not one.required
        and (
            any(v > 0 and r in question.resources for r, v in one.gives.items())
            or (question.measured is not None and one.id in question.measured.over)
        )
    } | {one.id for one in question.required}
    grown = True
    while grown:
        more = {need for name in wanted for need in by_id[name].needs} - wanted
        grown = bool(more)
        wanted |= more
    return [one for one in question.purchases if one.id in wanted and not one.required]


@dataclass(frozen=True)
class Bounds:
    """Earnings of a month by mask of optional purchases that are there (all required ones being so)."""

    question: Question
    optional: tuple[Purchase, ...]

    @cached_property
    def _capacity(self) -> NDArray[np.float64]:
        """(mask,): sheets a week."""
        import numpy as np

        q, masks = self.question, 1 << len(self.optional)
        least = np.full(masks, np.inf if q.resources else 0.0)
        for resource in q.resources:
            base = q.have.get(resource, 0.0) + sum(p.gives.get(resource, 0.0) for p in q.required)
            least = np.minimum(least, base + self._sums([p.gives.get(resource, 0.0) for p in self.optional]))
        if q.measured is not None:
            must = [one.id for one in q.required]
            for mask in range(masks):
                there = [one.id for k, one in enumerate(self.optional) if mask >> k & 1]
                if (week := q.measured.at([*must, *there])) is not None:
                    least[mask] = week.sheets
        return least if q.two_hands else np.zeros(masks)

    def _sums(self, amounts: list[float]) -> NDArray[np.float64]:
        """(mask,): sum of the amounts of the purchases in each mask."""
        import numpy as np

        sums = np.zeros(1)
        for amount in amounts:
            sums = np.concatenate([sums, sums + amount])
        return sums

    @cached_property
    def _open(self) -> NDArray[np.bool_]:
        """(mask,): can't be all that is there, since what one of them needs is always there before it."""
        import numpy as np

        masks = np.arange(1 << len(self.optional))
        found = np.zeros(len(masks), dtype=bool)
        at = {one.id: k for k, one in enumerate(self.optional)}
        for k, one in enumerate(self.optional):
            for need in one.needs:
                if need in at and self.optional[at[need]].lead <= one.lead:
                    found |= ((masks >> k) & 1 == 1) & ((masks >> at[need]) & 1 == 0)
        return found

    @cached_property
    def costs(self) -> NDArray[np.float64]:
        """(mask,): what the purchases of a mask cost."""
        return self._sums([one.cost for one in self.optional])

    @cached_property
    def earned(self) -> list[NDArray[np.float64]]:
        """By month (mask,): sheets' margin less running costs, of the best part of each mask."""
        import numpy as np

        q = self.question
        running = self._sums([one.running for one in self.optional])
        found = []
        for demand in q.demand:
            worth = np.minimum(self._capacity, demand) * q.weeks * q.margin - running
            worth[self._open] = -np.inf
            for bit in range(len(self.optional)):  # best submask, one purchase at a time
                halves = worth.reshape(-1, 2, 1 << bit)
                halves[:, 1] = np.maximum(halves[:, 1], halves[:, 0])
            found.append(worth)
        return found

    @cached_property
    def sheets(self) -> list[list[float]]:
        """By month (mask,): sheets a week that are made with all of a mask there."""
        import numpy as np

        return [np.minimum(self._capacity, demand).tolist() for demand in self.question.demand]

    @cached_property
    def onward(self) -> list[list[float]]:
        """(mask, month): the sum of `earned` from that month to the end; 0 after it."""
        import numpy as np

        table = np.array([*self.earned, np.zeros(1 << len(self.optional))])
        ahead: list[list[float]] = table[::-1].cumsum(axis=0)[::-1].T.tolist()
        return ahead
