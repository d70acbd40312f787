"""The best allocation of the loads that hang on one phase or between two, with proof.

Every allocation is looked at while there are at most twelve such loads (3^12 = 531 441); beyond that a
branch and bound, which says whether it came to an end. The sum of magnitudes on the largest phase over all
states is made least, then the current in the neutral, then the loads to be moved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from flatstock.starting.supply.states import State, states
from flatstock.starting.supply.worst import counted, look_at, placed
from flatstock.workshop.currents import amps_per_phase, lines_of, phasors
from flatstock.workshop.supply import Load, Supply

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Allocation", "best_allocation", "movable", "settle"]

ENUMERATED = 12  #: loads up to which every allocation is looked at
_NODES = 400_000  # of the branch and bound
_EQUAL = 1e-9  # [A]


@dataclass(frozen=True, slots=True, kw_only=True)
class Allocation:
    """Where each load would hang, and the largest phase then."""

    phases: dict[str, int]
    largest: float  #: [A]
    proven: bool  #: no other allocation has a smaller one


def movable(supply: Supply) -> list[Load]:
    """Loads that could hang on another phase than they do."""
    return [one for one in supply.loads if not one.fixed and len(_choices(one, supply)) > 1]


def settle(supply: Supply) -> Supply:
    """The supply with a phase for every load: as written, and the best for those that say none."""
    open_loads = [one for one in supply.loads if one.connection != "3P" and one.phase is None]
    if not open_loads:
        return supply
    return placed(supply, best_allocation(supply, open_loads).phases)


def best_allocation(supply: Supply, loads: Sequence[Load]) -> Allocation:
    """The best phases for `loads`, all others staying where they are."""
    names = {one.id for one in loads}
    rest = [one for one in supply.loads if one.id not in names]
    moves = [one for one in loads if len(_choices(one, supply)) > 1]
    still = {one.id: _choices(one, supply)[0] for one in loads if len(_choices(one, supply)) == 1}
    every = states(placed(supply, still))
    rest += [one for one in placed(supply, still).loads if one.id in still]
    if not moves:
        return Allocation(phases=still, largest=max(look_at(placed(supply, still)).needed), proven=True)
    found = (
        _enumerated(supply, moves, rest, every)
        if len(moves) <= ENUMERATED
        else _bounded(supply, moves, rest, every)
    )
    return Allocation(phases=still | found.phases, largest=found.largest, proven=found.proven)


def _choices(load: Load, supply: Supply) -> tuple[int, ...]:
    if load.connection == "3P" or supply.lines == 1 or (load.connection == "LL" and supply.lines == 2):
        return (1,)
    return tuple(range(1, supply.lines + 1))


def _amps(load: Load, supply: Supply, phase: int, state: State) -> tuple[float, ...]:
    return amps_per_phase(load, supply, phase=phase, share=state[load.id] * counted(load, supply))


def _base(supply: Supply, rest: Sequence[Load], state: State) -> list[float]:
    return [
        sum(_amps(one, supply, one.phase or 1, state)[line] for one in rest) for line in range(supply.lines)
    ]


def _enumerated(
    supply: Supply, moves: Sequence[Load], rest: Sequence[Load], every: Sequence[State]
) -> Allocation:
    """All of them at once: row k of the arrays is the allocation with the digits of k, last load first.

    What a line carries depends only on which loads hang on it: each set of loads is added up once.
    """
    import numpy as np

    base = np.array([_base(supply, rest, state) for state in every])
    alone = np.array([[max(_amps(one, supply, 1, state)) for one in moves] for state in every])
    largest: NDArray[np.float64] | None = None
    for line in range(supply.lines):
        carries = base[:, line : line + 1]  # (state, set of loads)
        on_it = np.zeros(1, dtype=np.int32)  # (allocation): the set on this line
        for n, load in enumerate(moves):
            carries = np.concatenate((carries, carries + alone[:, n : n + 1]), axis=1)
            hangs = [(line in lines_of(load, supply, p)) << n for p in _choices(load, supply)]
            on_it = (on_it[None, :] + np.array(hangs, dtype=np.int32)[:, None]).reshape(-1)
        most = carries.max(axis=0)[on_it]
        largest = most if largest is None else np.maximum(largest, most)
    assert largest is not None
    least = float(largest.min())
    rows = np.flatnonzero(largest <= least + _EQUAL)
    digits = _digits(rows, moves, supply)
    neutral = _neutrals(supply, moves, rest, every, digits)
    now = np.array([[one.phase or 0] for one in moves])
    stays = (digits + 1 == now).sum(axis=0)
    # a written allocation that is as good as any is left alone; else least neutral, then fewest moves
    best = max(
        range(len(rows)), key=lambda i: (stays[i] == len(moves), -round(float(neutral[i]), 6), stays[i])
    )
    return Allocation(
        phases={one.id: int(digits[k, best]) + 1 for k, one in enumerate(moves)}, largest=least, proven=True
    )


def _digits(rows: NDArray[np.intp], moves: Sequence[Load], supply: Supply) -> NDArray[np.intp]:
    """(load, row): the choice, from 0; the first load is the last digit."""
    import numpy as np

    found, left = [], rows
    for load in moves:
        ways = len(_choices(load, supply))
        found.append(left % ways)
        left = left // ways
    return np.array(found)


def _neutrals(
    supply: Supply,
    moves: Sequence[Load],
    rest: Sequence[Load],
    every: Sequence[State],
    digits: NDArray[np.intp],
) -> NDArray[np.float64]:
    """Largest neutral current over the states, for each row [A]."""
    import numpy as np

    worst = np.zeros(digits.shape[1])
    for state in every:
        total = np.full(
            digits.shape[1],
            sum((sum(phasors(one, supply, share=state[one.id])) for one in rest), 0j),
        )
        for k, load in enumerate(moves):
            ways = [sum(phasors(load, supply, phase=p, share=state[load.id])) for p in _choices(load, supply)]
            total = total + np.array(ways)[digits[k]]
        worst = np.maximum(worst, np.abs(total))
    return worst


def _bounded(
    supply: Supply, moves: Sequence[Load], rest: Sequence[Load], every: Sequence[State]
) -> Allocation:
    """Largest loads first, phases that are emptier first; a branch ends where even a perfect share is no better."""
    order = sorted(moves, key=lambda one: -max(max(_amps(one, supply, 1, s)) for s in every))
    base = [_base(supply, rest, state) for state in every]
    adds = [[[_amps(one, supply, p, s) for s in every] for p in _choices(one, supply)] for one in order]
    left = [[0.0] * len(every) for _ in range(len(order) + 1)]
    for k in range(len(order) - 1, -1, -1):
        left[k] = [left[k + 1][s] + sum(adds[k][0][s]) for s in range(len(every))]
    floor = max((sum(base[s]) + left[0][s]) / supply.lines for s in range(len(every)))
    best, best_way, nodes = float("inf"), [0] * len(order), 0
    way = [0] * len(order)

    def branch(k: int, sums: list[list[float]]) -> None:
        nonlocal best, best_way, nodes
        nodes += 1
        top = max(map(max, sums))
        even = max((sum(one) + rest_of) / supply.lines for one, rest_of in zip(sums, left[k], strict=True))
        if max(top, even) >= best - _EQUAL or nodes > _NODES:
            return
        if k == len(order):
            best, best_way = top, list(way)
            return
        twin = k > 0 and adds[k] == adds[k - 1]
        nexts = []
        for choice, added in enumerate(adds[k]):
            if not (twin and choice < way[k - 1]):  # equal loads: one order of them is enough
                new = [
                    [a + b for a, b in zip(s, more, strict=True)] for s, more in zip(sums, added, strict=True)
                ]
                nexts.append((max(map(max, new)), choice, new))
        for _, choice, new in sorted(nexts, key=lambda one: one[:2]):
            way[k] = choice
            branch(k + 1, new)

    branch(0, base)
    proven = nodes <= _NODES or best <= floor + _EQUAL
    phases = {one.id: best_way[k] + 1 for k, one in enumerate(order)}
    return Allocation(phases=phases, largest=best, proven=proven)
