"""Which kinds of step must not run at once, as the connection is rated: what is settled before any plan."""

from __future__ import annotations

from functools import cache
from itertools import combinations

from flatstock.planning.problem.week import Load, Week

__all__ = ["HEATERS", "too_much", "too_much_for_any"]

HEATERS = ("heated", "heat_up", "soak", "raise", "lower", "clean", "hold")
#: what runs at once whichever sheet is pressed, with nothing else in the shop
EACH = (
    ("heated", "heat_up"),
    ("heated", "soak"),
    *(("heated", "hold", step) for step in ("load", "dwell", "transfer")),
    ("press_cool",),
)
PHASE = ("L1", "L2", "L3")


def too_much(week: Week) -> tuple[frozenset[str], ...]:
    """Smallest sets of steps that overload a phase when they run at once."""
    return _sets(week.loads, week.rated or 0.0)


def too_much_for_any(week: Week) -> str:
    """Why no sheet at all can be pressed on this connection, in words; empty: it bears one."""
    for steps in EACH if week.rated is not None else ():
        if not any(few <= set(steps) for few in too_much(week)):
            continue
        on = [load for load in week.loads if load.on_during & {*steps, "always"}]
        amps = [sum(load.amps[n] for load in on) for n in range(3)]
        most = max(range(3), key=lambda n: amps[n])
        names = " and ".join(load.id for load in on if load.amps[most])
        return (
            f"the supply is rated {week.rated:g} A, and {names}, which each sheet takes at once, draw"
            f" {amps[most]:.1f} A on {PHASE[most]}"
        )
    return ""


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
