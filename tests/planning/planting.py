"""What planting a fault in a plan takes: moving a time, dropping a task."""

from __future__ import annotations

from datetime import timedelta

from tests.planning.small_week import instant

__all__ = ["drop", "shift"]


def shift(one, minutes, *ends):
    """These ends of a task or setting later by so many minutes."""
    for end in ends:
        one[end] = (instant(one[end]) + timedelta(minutes=minutes)).isoformat()


def drop(plan, *names):
    """Without these tasks."""
    plan["tasks"] = [one for one in plan["tasks"] if one["id"] not in names]
