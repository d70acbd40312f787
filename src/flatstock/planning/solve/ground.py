"""What the constraints between sheets share: the model, the week, every sheet's variables, and when heaters are on."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.planning.problem.stretches import Stretch, stretches
from flatstock.planning.problem.week import Site, Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["Ground", "Heated"]

#: start, end and use of a press's heaters in one stretch, by the press and the stretch's number
Heated = dict[tuple[str, int], tuple[Var, Var, Var]]


class Ground:
    """A week's model while it is built."""

    def __init__(self, model: Model, week: Week, chains: Sequence[Chain]) -> None:
        self.m, self.week, self.chains = model, week, chains
        #: in which each press may be heated
        self.stretches: dict[str, list[Stretch]] = {
            press.id: stretches(week, press.id) for press in week.of_kind("hot_press")
        }
        self.heated: Heated = {}

    def interval(self, start: Var, end: Var, on: Var, name: str, *, begun: bool = False) -> Var:
        """What is `begun` counts from now on: what was before can't be helped."""
        if begun:
            start = self.week.now
            later = self.m.new_int_var(start, self.week.end + 10_000, f"end of {name}")
            self.m.add_max_equality(later, [end, start])
            end = later
        size = self.m.new_int_var(0, self.week.end - min(0, self.week.start) + 10_000, f"for {name}")
        return self.m.new_optional_interval_var(start, size, end, on, name)

    def share(self, spans: Sequence[Var], begun: Sequence[str | None], sites: Sequence[Site]) -> None:
        """No more at once than these places take; nothing new comes into one that is out of order.

        `begun`: which of the places a span has that has begun; None: it has not, and any of them will do.
        """
        self._at_most(list(spans), sum(site.capacity for site in sites))
        out = [
            self.m.new_fixed_size_interval_var(s.start, s.length, f"{site.id} out")
            for site in sites
            for s in site.absent
            for _ in range(site.capacity)
        ]
        if out:
            # what is in one of them already is brought to its end
            failing = {site.id for site in sites if site.absent}
            others = [span for span, place in zip(spans, begun, strict=True) if place not in failing]
            self._at_most(others + out, sum(site.capacity for site in sites))

    def _at_most(self, spans: list[Var], capacity: int) -> None:
        if capacity == 1:
            self.m.add_no_overlap(spans)
        else:
            self.m.add_cumulative(spans, [1] * len(spans), capacity)
