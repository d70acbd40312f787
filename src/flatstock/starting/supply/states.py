"""Which loads can be on together: everything at once, but for what wired interlocks hold back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from flatstock.workshop.currents import counted_share
from flatstock.workshop.supply import Rule, Supply

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["State", "most_on_each_line", "states"]

State = Mapping[str, float]  #: share of its current that each load may draw; 0: off
Counts = tuple[Any, ...]


def states(supply: Supply) -> list[State]:
    """Every worst state, the one with most loads first; heaters on on/off control always draw in full.

    A state is a choice of which of the loads that hold others back are on; everything else is on as far as
    it may be. Only wired interlocks count. A state whose every share is no more than another's is left out.
    """
    wired, counts = _asked(supply)
    return [dict(one) for one in _worst(wired, counts)]


def most_on_each_line(supply: Supply, amps: Sequence[Sequence[float]]) -> tuple[float, ...]:
    """The largest of each line over all states [A]; `amps`: of each load in each line, at full share.

    The same as adding up state by state, but for rounding. What is no worst state need not be left out for it.
    """
    import numpy as np

    wired, counts = _asked(supply)
    touched, shares = _all_shares(wired, counts)
    here = {name for name, _ in touched}
    each = np.array(amps, dtype=np.float64).reshape(len(supply.loads), supply.lines)
    full = np.array([dict(pairs)[1.0] for _, *pairs in counts])
    rest = [n for n, load in enumerate(supply.loads) if load.id not in here]
    sums = shares @ each[[n for _, n in touched]] + full[rest] @ each[rest]
    return tuple(float(one) for one in sums.max(axis=0))


def _asked(supply: Supply) -> tuple[tuple[Rule, ...], tuple[Counts, ...]]:
    """The rules that count, and for each load what each share of it counts as."""
    wired = tuple(rule for rule in supply.rules if rule.wired)
    steps = sorted({rule.share for rule in wired} | {1.0, 0.0})
    counts = ((load.id, *((share, counted_share(load, share)) for share in steps)) for load in supply.loads)
    return wired, tuple(counts)


def _all_shares(
    wired: Sequence[Rule], counts: Sequence[Counts]
) -> tuple[list[tuple[str, int]], NDArray[np.float64]]:
    """What any rule touches with its place among the loads, and the shares of all these, a row a state.

    Each choice of which holders are on gives a row, most on first; none where one that is on is held to nothing.
    """
    import numpy as np

    counted = {name: dict(pairs) for name, *pairs in counts}
    holders = sorted({rule.when for rule in wired} & set(counted))
    held = {rule.then for rule in wired}
    touched = [(name, n) for n, name in enumerate(counted) if name in holders or name in held]
    column = {name: n for n, (name, _) in enumerate(touched)}
    choices = np.arange(1 << len(holders))
    on = {name: (choices >> (len(holders) - 1 - n)) & 1 == 0 for n, name in enumerate(holders)}
    shares = np.ones((len(choices), len(touched)))
    for rule in wired:
        if rule.when in on and rule.then in column:
            at = column[rule.then]
            shares[:, at] = np.minimum(shares[:, at], np.where(on[rule.when], rule.share, 1.0))
    for name, at in column.items():
        for share, counts_as in counted[name].items():
            if share != counts_as:
                shares[shares[:, at] == share, at] = counts_as
    stands = np.ones(len(choices), dtype=np.bool_)
    for name, runs in on.items():
        stands &= ~runs | (shares[:, column[name]] > 0)
        shares[~runs, column[name]] = 0.0
    return touched, shares[stands]


@lru_cache(maxsize=64)  # remedies look at hundreds of supplies that differ in phases and ratings alone
def _worst(wired: tuple[Rule, ...], counts: tuple[Counts, ...]) -> tuple[tuple[tuple[str, float], ...], ...]:
    """The states as pairs, in the order of their rows."""
    import numpy as np

    touched, shares = _all_shares(wired, counts)
    _, first = np.unique(shares, axis=0, return_index=True)
    rows = shares[np.sort(first)]
    kept: list[int] = []
    for n in sorted(range(len(rows)), key=lambda n: -float(rows[n].sum())):
        # whatever draws no more than another draws no more than one that nothing draws more than
        if not kept or not (rows[n] <= rows[kept]).all(axis=1).any():
            kept.append(n)
    full = {name: dict(pairs)[1.0] for name, *pairs in counts}
    names = [name for name, _ in touched]
    return tuple(
        tuple((full | dict(zip(names, rows[n].tolist(), strict=True))).items()) for n in sorted(kept)
    )
