"""What draws current on which line and during which steps, as the week plan and the run board count it."""

from __future__ import annotations

from flatstock.planning.problem.week import Load
from flatstock.workshop.currents import amps_per_phase
from flatstock.workshop.shop import Workshop

__all__ = ["Load", "loads_of"]


def loads_of(shop: Workshop) -> tuple[Load, ...]:
    """The loads of supply.toml by id, amperes on L1, L2, L3; none where the shop has no such file."""
    if shop.supply is None:
        return ()
    made = []
    for load in shop.supply.loads:
        amps = [round(a, 3) for a in amps_per_phase(load, shop.supply)]
        full = (*amps, 0.0, 0.0)[:3]
        made.append(Load(id=load.id, amps=(full[0], full[1], full[2]), on_during=frozenset(load.on_during)))
    return tuple(sorted(made, key=lambda load: load.id))
