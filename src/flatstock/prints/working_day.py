"""Where one working day of a shop ends and the next begins: at midnight, unless people are there at midnight."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

__all__ = ["first_hour"]


def first_hour(spans: Iterable[tuple[datetime, datetime]]) -> int:
    """The full hour at which a working day begins: 0, or the middle of the hours at which nobody is there.

    Where somebody is there at every hour it is the one at which the fewest are in the midst of something.

    >>> night = (datetime(2026, 3, 2, 22), datetime(2026, 3, 3, 6))
    >>> first_hour([night])
    14
    """
    there = [0] * 24
    for start, end in spans:
        moment = start.replace(minute=0, second=0, microsecond=0) + timedelta(hours=1)
        while moment < end:
            there[moment.hour] += 1
            moment += timedelta(hours=1)
    if there[0] == 0:
        return 0
    least = min(there)
    runs: list[list[int]] = []
    for hour in [*range(24), *range(24)]:  # twice round, since a run may go on over midnight
        if there[hour % 24] != least:
            runs.append([])
        elif runs and len(runs[-1]) < 24:
            runs[-1].append(hour)
    longest = max(runs, key=len, default=[0])
    return longest[len(longest) // 2] if longest else 0
