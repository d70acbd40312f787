"""Plans of boxes and zones that would walk little, from CP-SAT, for the search to make plans of that can be walked."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from flatstock.starting.room.question import Placement, Question, split_zone
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.groups import Group
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.room_to_walk import room_to_walk
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks

__all__ = ["dive", "what_passes"]


def dive(
    question: Question,
    spots: Spots,
    groups: Sequence[Group],
    *,
    below: float,
    seed: int,
    seconds: float,
    stop: Callable[[], bool],
) -> Mapping[str, Placement] | None:
    """Everything set down so that it walks less than `below` [m/day] by both legs; None where none was found."""
    master = Master(question, spots)
    room_to_walk(master)
    for group in groups:
        master.at_least(group.bound, group.flows)
    master.below(below)
    answer = solve(master.model, seconds=seconds, workers=1, stop=stop, seed=seed, shuffled=True)
    return None if answer.values is None else master.where(answer)


def what_passes(question: Question, walks: Walks, where: Mapping[str, Placement]) -> dict[str, Placement]:
    """As much of a plan as people get out of and the trolley gets through, what is walked to most first."""
    trips = {item.id: float(item.placed is not None) * 1e9 for item in question.items}
    for flow in question.flows:
        for end in (flow.start, flow.to):
            trips[split_zone(end)[0]] += flow.trips_per_day
    kept: dict[str, Placement] = {}
    for name in sorted(where, key=lambda name: -trips[name]):
        if walks.passes({**kept, name: where[name]}, roughly=True):
            kept[name] = where[name]
    return kept
