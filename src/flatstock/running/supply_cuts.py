"""When the whole shop was without supply: what blows or pumps stopped then, and nobody knows whether it came back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from flatstock.running.event import Event

__all__ = ["supply_cuts"]


def supply_cuts(events: Sequence[Event], now: datetime) -> tuple[datetime, ...]:
    """Instants at which the supply failed, in order; a cut of one press alone stops nothing else.

    Parameters
    ----------
    events
        That stand, in order.
    """
    return tuple(one.at for one in events if one.kind == "power_cut" and one.place is None and one.at <= now)
