"""The energy account of a run: what went in, what came out, what is left, and whether that closes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flatstock.heat import rates as r

__all__ = ["Energy", "account"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Energy:
    """Energies of a run [J/m2 of mould]."""

    heaters: float
    outer_bottom: float
    outer_top: float
    edge: float
    rim: float
    steam: float
    gained: float  #: what the layers hold more than at the start
    throughput: float  #: heater energy, losses taken positive, and what the layers brought along
    closure: float  #: |in - out - gained| / throughput

    def __add__(self, other: Energy) -> Energy:
        through = self.throughput + other.throughput
        gap = self.closure * self.throughput + other.closure * other.throughput
        return Energy(
            heaters=self.heaters + other.heaters,
            outer_bottom=self.outer_bottom + other.outer_bottom,
            outer_top=self.outer_top + other.outer_top,
            edge=self.edge + other.edge,
            rim=self.rim + other.rim,
            steam=self.steam + other.steam,
            gained=self.gained + other.gained,
            throughput=through,
            closure=gap / through if through else 0.0,
        )


def account(before: float, after: float, total: Array) -> Energy:
    """Does what went in equal what came out and what is left? Heat stored `before` and `after`, march's `total`."""
    heaters = float(total[r.HEAT_BOTTOM] + total[r.HEAT_TOP])
    losses = total[r.OUT_BOTTOM : r.STEAM + 1]
    gained = after - before
    through = heaters + float(np.sum(np.abs(losses))) + abs(before)
    gap = abs(heaters - float(np.sum(losses)) - gained)
    return Energy(
        heaters=heaters,
        outer_bottom=float(total[r.OUT_BOTTOM]),
        outer_top=float(total[r.OUT_TOP]),
        edge=float(total[r.EDGE_LOSS]),
        rim=float(total[r.RIM_LOSS]),
        steam=float(total[r.STEAM]),
        gained=gained,
        throughput=through,
        closure=gap / through if through > 0 else 0.0,
    )
