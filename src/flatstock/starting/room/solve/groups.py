"""Bounds on the day's walk from a few items at a time.

With all items CP-SAT's own bound stays near nothing for long. Whatever else stands, a few items walk no less than the
best plan of those alone does; every flow counts in one group only, so groups add up. Three items at a time are solved
at once on a floor without walls; then two groups that touch are solved together, as long as that says more than both.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

from flatstock.starting.room.question import Flow, Question, split_zone
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.plane import Known, plane_bound
from flatstock.starting.room.solve.prove import prove
from flatstock.starting.room.variants import without

__all__ = ["Group", "group_bounds", "groups_of"]

FIRST_ITEMS, MOST_ITEMS = 3, 8
GAIN_M = 1e-6  # [m/day]: two groups stay joined where that says so much more
A_GROUP_S = 4.0  # [s] for one group at most, and never more than its share


@dataclass(frozen=True, slots=True)
class Group:
    """A few items."""

    names: frozenset[str]
    flows: tuple[Flow, ...]  #: those that count in this group
    bound: float  #: what these walk at least [m/day]


def groups_of(question: Question, most: int = FIRST_ITEMS) -> list[tuple[frozenset[str], tuple[Flow, ...]]]:
    """Groups of items with the flows that count in them, busiest first."""
    left = [f for f in question.flows if f.trips_per_day > 0 and _ends(f)[0] != _ends(f)[1]]
    found: list[tuple[frozenset[str], tuple[Flow, ...]]] = []
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
        found.append((frozenset(group), tuple(inside)))
    return found


def group_bounds(
    question: Question, *, until: float, most: float = inf, stop: Callable[[], bool] = lambda: False
) -> list[Group]:
    """Groups with what their flows walk at least: each flow is in one of them, so that the bounds add up.

    `most`: a plan walks so much, so that no more need be shown [m/day].
    """

    def bounded(names: frozenset[str], flows: tuple[Flow, ...], parts: Sequence[Group]) -> Group:
        end = time.monotonic() + min(A_GROUP_S, max(0.2, (until - time.monotonic()) / 2))
        known = [(part.flows, part.bound) for part in parts]
        bound = _bound(question, names, flows, until=end, known=known, most=most, stop=stop)
        return Group(names, flows, max(bound, sum(part.bound for part in parts)))

    groups: list[Group] = []
    for names, flows in groups_of(question):
        if stop() or time.monotonic() >= until:
            break
        groups.append(bounded(names, flows, ()))
    tried: set[frozenset[Flow]] = set()
    while not stop() and time.monotonic() < until and (pair := _pair(question, groups, tried)):
        flows = pair[0].flows + pair[1].flows
        tried.add(frozenset(flows))
        names = pair[0].names | pair[1].names
        joined = bounded(names | _tables(question, names), flows, pair)
        if joined.bound > pair[0].bound + pair[1].bound + GAIN_M:
            groups = [*(g for g in groups if g not in pair), joined]
    return groups


def _pair(
    question: Question, groups: Sequence[Group], tried: set[frozenset[Flow]]
) -> tuple[Group, Group] | None:
    """Two groups to be joined: those that share an item first, then those with something between them."""
    found = []
    for one, other in combinations(groups, 2):
        if frozenset(one.flows + other.flows) in tried:
            continue
        names = one.names | other.names
        size = len(names | _tables(question, names))
        shared = len(one.names & other.names)
        if size <= MOST_ITEMS and (shared or _touch(question, one, other)):
            found.append((-shared, size, (one, other)))
    return min(found, key=lambda p: p[:2])[2] if found else None


def _touch(question: Question, one: Group, other: Group) -> bool:
    return any(
        (a in one.names and b in other.names) or (b in one.names and a in other.names)
        for a, b in _related(question)
    )


def _related(question: Question) -> list[tuple[str, str]]:
    """Items that owe each other a place: in line, or what burns and what is hot."""
    found = [(line.a, line.b) for line in question.in_line]
    hot = [item.id for item in question.items if item.hot_gap_mm]
    burns = [item.id for item in question.items if item.combustible]
    return found + [(a, b) for a in hot for b in burns]


def _tables(question: Question, names: frozenset[str]) -> frozenset[str]:
    """The tables between items of a group that stand in line."""
    return frozenset(
        line.via for line in question.in_line if line.via is not None and {line.a, line.b} <= names
    )


def _bound(
    question: Question,
    names: frozenset[str],
    flows: tuple[Flow, ...],
    *,
    until: float,
    known: Known,
    most: float,
    stop: Callable[[], bool],
) -> float:
    """What some flows walk at least: on a floor without walls where nothing of it stands yet, else in the room."""
    fixed = {item.id for item in question.items if item.placed is not None}
    if not fixed & names:
        part = without(replace(question, flows=flows), [i.id for i in question.items if i.id not in names])
        return plane_bound(part, until=until, known=known, most=most, stop=stop)
    part = without(
        replace(question, flows=flows), [i.id for i in question.items if i.id not in names | fixed]
    )

    def told(master: Master) -> None:
        for some, metres in known:
            master.at_least(metres, some)

    return prove(part, open_spots(part), until=until, workers=1, bounds=told, stop=stop).bound


def _ends(flow: Flow) -> tuple[str, str]:
    return split_zone(flow.start)[0], split_zone(flow.to)[0]
