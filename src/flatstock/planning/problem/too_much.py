"""Which kinds of step must not run at once, as the connection is rated: what is settled before any plan."""

from __future__ import annotations

from functools import cache
from itertools import combinations

from flatstock.planning.problem.week import Load, Week

__all__ = ["HEATERS", "too_much"]

HEATERS = ("heated", "heat_up", "soak", "raise", "lower", "clean", "hold")


def too_much(week: Week) -> tuple[frozenset[str], ...]:
    """Smallest sets of steps that overload a phase when they run at once."""
    return _sets(week.loads, week.rated or 0.0)


@cache
def _sets(loads: tuple[Load, ...], rated: float) -> tuple[frozenset[str], ...]:
    """`rated` [A]."""
    steps = sorted({step for load in loads for step in load.on_during} - {"always"})
    found: list[frozenset[str]] = []
    for size in range(1, len(steps) + 1):
        for some in combinations(steps, size):
            chosen = frozenset(some)
            if any(smaller <= chosen for smaller in found):
                continue
            on = [load for load in loads if load.on_during & (chosen | {"always"})]
            if any(sum(load.amps[phase] for load in on) > rated + 1e-6 for phase in range(3)):
                found.append(chosen)
    return tuple(found)
