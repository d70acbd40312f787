"""Lines of equal temperature over a grid of times and heights."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

__all__ = ["isotherm", "spans_below"]

Array = NDArray[np.float64]
Edge = tuple[str, int, int]  # along "t" or "h" from node (i, j)
Line = list[tuple[float, float]]

#: for a cell with corners (i,j) 1, (i+1,j) 2, (i+1,j+1) 4, (i,j+1) 8 hotter than the level: which sides join
_JOINS: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((0, 3),), 2: ((0, 1),), 3: ((1, 3),), 4: ((1, 2),), 5: ((0, 3), (1, 2)), 6: ((0, 2),), 7: ((2, 3),),
    8: ((2, 3),), 9: ((0, 2),), 10: ((0, 1), (2, 3)), 11: ((1, 2),), 12: ((1, 3),),
    13: ((0, 1),), 14: ((0, 3),),
}  # fmt: skip


def isotherm(times: Array, heights: Array, temperature: Array, level: float) -> list[Line]:
    """The curves on which `temperature` (n, m) equals `level`, as lists of (time, height).

    Marching squares (Lorensen & Cline 1987 in two dimensions, from memory): each cell joins the sides
    that the level crosses; a side belongs to two cells, so the pieces chain without comparing numbers.
    """
    hot = temperature > level
    case = hot[:-1, :-1] + 2 * hot[1:, :-1] + 4 * hot[1:, 1:] + 8 * hot[:-1, 1:]
    joined: dict[Edge, list[Edge]] = defaultdict(list)
    for i, j in zip(*np.nonzero((case > 0) & (case < 15)), strict=True):
        a, b = int(i), int(j)
        sides: tuple[Edge, ...] = (("t", a, b), ("h", a + 1, b), ("t", a, b + 1), ("h", a, b))
        for one, other in _JOINS[int(case[i, j])]:
            joined[sides[one]].append(sides[other])
            joined[sides[other]].append(sides[one])
    return [
        [_crossing(edge, times, heights, temperature, level) for edge in chain] for chain in _chains(joined)
    ]


def _chains(joined: dict[Edge, list[Edge]]) -> list[list[Edge]]:
    """Walk from every free end, then round what is left (closed curves)."""
    left = {edge: list(others) for edge, others in joined.items()}
    starts = [edge for edge, others in joined.items() if len(others) == 1] + list(joined)
    chains = []
    for start in starts:
        chain, here = [start], start
        while left[here]:
            there = left[here].pop()
            left[there].remove(here)
            chain.append(there)
            here = there
        if len(chain) > 1:
            chains.append(chain)
    return chains


def _crossing(
    edge: Edge, times: Array, heights: Array, temperature: Array, level: float
) -> tuple[float, float]:
    along, i, j = edge
    k, m = (i + 1, j) if along == "t" else (i, j + 1)
    first, second = temperature[i, j], temperature[k, m]
    share = float((level - first) / (second - first))
    return (
        float(times[i] + share * (times[k] - times[i])),
        float(heights[j] + share * (heights[m] - heights[j])),
    )


def spans_below(heights: Array, temperature: Array, level: float) -> list[tuple[float, float]]:
    """The stretches (lowest, highest place) of one profile (m,) that are colder than `level`."""
    cold = np.concatenate(([False], temperature < level, [False]))
    ends = np.nonzero(cold[1:] != cold[:-1])[0]
    return [
        (_edge(heights, temperature, level, int(a), -1), _edge(heights, temperature, level, int(b) - 1, 1))
        for a, b in zip(ends[::2], ends[1::2], strict=True)
    ]


def _edge(heights: Array, temperature: Array, level: float, at: int, step: int) -> float:
    beyond = at + step
    if not 0 <= beyond < heights.size:
        return float(heights[at])
    share = (level - temperature[at]) / (temperature[beyond] - temperature[at])
    return float(heights[at] + share * (heights[beyond] - heights[at]))
