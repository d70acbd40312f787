"""A charge of several plastics as the heat model sees it: each with its share and its own laws."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.heat.laws import FREEZE_RATE, MELT_RATE, PARTS, TABLE_NODES, TABLE_RATE, TABLE_START, TC1, TM1
from flatstock.heat.polymer import Polymer

__all__ = ["Blend"]

Array = NDArray[np.float64]
CLOSE = 1e-9  # shares are made here, not read


@dataclass(frozen=True, slots=True)
class Blend:
    """Two or more plastics side by side at one temperature; docs/heat.md, "Blends".

    `parts`: mass share and plastic. Raises `OutOfRange` where there are fewer than two, or where the shares are not
    between 0 and 1 or do not sum to 1.
    """

    parts: tuple[tuple[float, Polymer], ...]

    def __post_init__(self) -> None:
        shares = [share for share, _ in self.parts]
        if len(shares) < 2:
            raise OutOfRange(f"{len(shares)} plastics are no blend; it takes two or more.")
        if not all(0 < share < 1 for share in shares) or abs(sum(shares) - 1) > CLOSE:
            raise OutOfRange(f"shares of {shares} are not between 0 and 1, or do not sum to 1.")

    @property
    def melting_onset(self) -> float:
        """Where the first of the parts begins to melt [°C]."""
        return min(part.melting_onset for _, part in self.parts)

    def row(self) -> Array:
        """The numbers in the order that `blend_laws` expects."""
        return self.row_of([part.row()[None] for _, part in self.parts])[0]

    def rows(self, drawn: Sequence[Mapping[str, Array]]) -> Array:
        """The rows of as many blends as are drawn, each part by its own draws; see `Polymer.rows`."""
        own = [part.rows(numbers) for (_, part), numbers in zip(self.parts, drawn, strict=True)]
        count = max(len(rows) for rows in own)
        return self.row_of([np.broadcast_to(rows, (count, rows.shape[1])) for rows in own])

    def row_of(self, own: Sequence[Array]) -> Array:
        """Rows of blends from those of their parts, (blends, numbers) each."""
        shares = [share for share, _ in self.parts]
        whole = np.sum([share * rows for share, rows in zip(shares, own, strict=True)], axis=0)
        for first, rate in ((TM1, MELT_RATE), (TC1, FREEZE_RATE)):
            low = np.min([rows[:, first] for rows in own], axis=0)
            high = np.max([rows[:, first] + 1.0 / rows[:, rate] for rows in own], axis=0)
            whole[:, first], whole[:, rate] = low, 1.0 / (high - low)
        # the ends of a table are enthalpies of all solid and all melt, which add up by mass
        ends = [rows[:, TABLE_START] + (TABLE_NODES - 1) / rows[:, TABLE_RATE] for rows in own]
        highest = np.sum([share * end for share, end in zip(shares, ends, strict=True)], axis=0)
        whole[:, TABLE_RATE] = (TABLE_NODES - 1) / (highest - whole[:, TABLE_START])
        whole[:, PARTS] = len(own)
        columns = [whole]
        for share, rows in zip(shares, own, strict=True):
            columns += [np.full((len(rows), 1), share), rows[:, :TABLE_START]]
        return np.ascontiguousarray(np.concatenate(columns, axis=1))
