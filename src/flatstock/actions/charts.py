"""Make the wall chart of a press."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from flatstock.actions.workshops import open_workshop
from flatstock.pressing.wallchart import WallchartAnswer, answer_wallchart
from flatstock.workshop.shop import Workshop

__all__ = ["WallchartAnswer", "make_wallchart"]


def make_wallchart(shop: Path | Workshop, now: datetime) -> WallchartAnswer:
    """Charge and dwell by plastic, thickness and set-point, dated `now`."""
    return answer_wallchart(open_workshop(shop), now)
