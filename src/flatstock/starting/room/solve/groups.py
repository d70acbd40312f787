"""Bounds on the day's walk from a few items at a time.

With all items CP-SAT's own bound stays near nothing for long. Whatever else stands, three items walk no less than
the best plan of those three alone in the room does; every flow counts in one group only, so groups add up.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

from flatstock.starting.room.question import Flow, Question, split_zone
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.prove import prove
from flatstock.starting.room.variants import without

__all__ = ["group_bounds", "groups_of"]

MOST_ITEMS = 3
A_GROUP_S = 8.0  # [s] for one group at most, and never more than its share


def groups_of(question: Question, most: int = MOST_ITEMS) -> list[tuple[set[str], list[Flow]]]:
    """Groups of items with the flows that count in them, busiest first."""
    left = [f for f in question.flows if f.trips_per_day > 0 and _ends(f)[0] != _ends(f)[1]]
    found = []
    while left:
        group = set(_ends(max(left, key=lambda f: f.trips_per_day)))
        while len(group) < most:
            pulls: dict[str, float] = {}
            for flow in left:
                for a, b in (_ends(flow), _ends(flow)[::-1]):
                    if a in group and b not in group:
                        pulls[b] = pulls.get(b, 0.0) + flow.trips_per_day
            if not pulls:
                break
            group.add(max(pulls, key=lambda name: pulls[name]))
        inside = [f for f in left if set(_ends(f)) <= group]
        left = [f for f in left if f not in inside]
        found.append((group, inside))
    return found


def group_bounds(
    question: Question, *, until: float, stop: Callable[[], bool] = lambda: False
) -> list[tuple[list[Flow], float]]:
    """For each group its flows and what they walk at least [m/day]."""
    groups = groups_of(question)
    fixed = {item.id for item in question.items if item.placed is not None}
    if len(groups) == 1 and groups[0][0] | fixed >= {item.id for item in question.items}:
        return []  # the group is the question
    found = []
    for n, (names, flows) in enumerate(groups):
        share = (until - time.monotonic()) / (len(groups) - n + 1)
        end = time.monotonic() + min(A_GROUP_S, max(0.2, share))
        if stop() or time.monotonic() >= until:
            break
        part = without(
            replace(question, flows=tuple(flows)), [i.id for i in question.items if i.id not in names | fixed]
        )
        spots = open_spots(part)
        bound = prove(part, spots, until=end, workers=1, stop=stop).bound
        found.append((flows, bound))
    return found


def _ends(flow: Flow) -> tuple[str, str]:
    return split_zone(flow.start)[0], split_zone(flow.to)[0]
