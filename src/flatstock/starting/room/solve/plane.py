"""A bound on the walk of a few items, from those alone on a floor without walls.

Whatever stands together in a room stands so on an endless floor too, and walks no farther there. On it nothing
changes when everything is shifted, so one item can be held where it is: the rest has few places worth looking at,
where in a room each arrangement lies at thousands. Where all sizes are multiples of the grid nothing changes by
turning everything either, so that the one item need not be turned.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from math import inf

from flatstock.starting.room.question import Flow, Item, Placement, Question, Room, split_zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Explainer
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.spots import Spots

__all__ = ["Cluster", "Known", "arrangements", "plane_bound"]

SLACK = 0.08  # of the least walk, by which every second and third arrangement may be longer
Known = Sequence[tuple[Sequence[Flow], float]]  #: some flows, and what they walk at least [m/day]
Edge = tuple[str, str, float]
Cluster = Mapping[str, Placement]  #: items as they stand to each other, wherever that is


def plane_bound(
    part: Question, *, until: float, known: Known = (), most: float = inf, stop: Callable[[], bool]
) -> float:
    """What the flows between some items walk at least [m/day]; `most` where they are known to walk no less.

    `part` has those items and flows alone, nothing placed. `known`: bounds of some of the flows; `most`: plans that
    walk more are of no interest [m/day].
    """
    anchor = _anchor(part)
    least = inf
    for turn in _turns(part, anchor):
        least = min(least, _held(part, anchor, turn, until=until, known=known, most=most, stop=stop))
    return min(least, most)


def arrangements(
    part: Question, *, walk: float, count: int, until: float, stop: Callable[[], bool]
) -> list[Cluster]:
    """Some ways in which a few items stand so that they walk hardly more than `walk` [m/day] by both legs."""
    anchor, found = _anchor(part), list[Cluster]()
    turns = _turns(part, anchor)
    for n in range(count):
        if stop() or time.monotonic() >= until:
            break
        slack = walk * (1 + SLACK * (n % 3)) + 1e-3
        question = _on_the_plane(part, anchor, turns[n % len(turns)], slack)
        master = Master(question, Spots(question))
        master.below(slack)
        answer = solve(
            master.model, seconds=until - time.monotonic(), workers=1, stop=stop, seed=n + 1, shuffled=True
        )
        if answer.values is not None:
            found.append(master.where(answer))
    return found


def _held(
    part: Question,
    anchor: Item,
    turn: int,
    *,
    until: float,
    known: Known,
    most: float,
    stop: Callable[[], bool],
) -> float:
    question = _on_the_plane(part, anchor, turn, most)
    spots = Spots(question)
    master, explainer = Master(question, spots), Explainer(question, spots)
    for flows, metres in known:
        master.at_least(metres, flows)
    master.minimise()
    bound = 0.0
    while (left := until - time.monotonic()) > 0 and not stop():
        answer = solve(master.model, seconds=left, workers=1, stop=stop)
        if answer.status == "impossible":
            return inf
        if answer.bound is not None:
            bound = max(bound, master.metres(answer.bound))
        if answer.status != "optimal" or bound >= most:
            break
        cuts = explainer.longer(master.where(answer), master.walked(answer))
        if not cuts:
            break
        for cut in cuts:
            master.cut(cut.boxes, cut.walk)
    return bound


def _on_the_plane(part: Question, anchor: Item, turn: int, most: float) -> Question:
    """The items on a square floor, the anchor in its middle, so large that nothing in the room is cut off."""
    b, g = part.room.bounds, part.grid_mm
    half = min(max(b.length_mm, b.width_mm), _farthest(part, anchor, most))
    half = -(-int(half) // g) * g
    corners = ((0, 0), (2 * half, 0), (2 * half, 2 * half), (0, 2 * half))
    at = Placement(x_mm=half, y_mm=half, turned_deg=turn)
    items = tuple(replace(item, placed=at) if item is anchor else item for item in part.items)
    return replace(part, room=Room(outline_mm=corners), items=items)


def _farthest(part: Question, anchor: Item, most: float) -> float:
    """How far from the anchor's corner anything reaches in a plan that walks no more than `most` [mm]."""
    far = {item.id: inf for item in part.items}
    far[anchor.id] = 0.0
    edges = list(_edges(part, most))
    for _ in part.items:
        for a, b, length in edges:
            far[a], far[b] = min(far[a], far[b] + length), min(far[b], far[a] + length)
    return max(far[item.id] + _size(item) for item in part.items)


def _edges(part: Question, most: float) -> Iterable[Edge]:
    """How far the corners of two items are from each other at most, where something says so [mm]."""
    limits: list[Edge] = [
        (split_zone(f.start)[0], split_zone(f.to)[0], most * 1000 / f.trips_per_day)
        for f in part.flows
        if f.trips_per_day > 0
    ]
    limits += [
        (split_zone(n.a)[0] if n.how == "walk" else _owner(part, n.a), _owner(part, n.b), 1.0 * n.longest_mm)
        for n in part.near
    ]
    limits += [(line.a, line.b, line.gap_max_mm + 1.0 * line.offset_max_mm) for line in part.in_line]
    for a, b, length in limits:
        yield a, b, length + _size(part.by_id[a]) + _size(part.by_id[b])


def _owner(part: Question, name: str) -> str:
    return name if name in part.by_id else split_zone(name)[0]


def _size(item: Item) -> int:
    """No point of an item and its zones is farther from any other along either axis [mm]."""
    rects = [Rect(0, 0, item.length_mm, item.width_mm), *(item.zone_offset(zone, 0) for zone in item.zones)]
    length = max(r.right_mm for r in rects) - min(r.x_mm for r in rects)
    width = max(r.top_mm for r in rects) - min(r.y_mm for r in rects)
    return length + width


def _anchor(part: Question) -> Item:
    """The item that most is walked to."""
    trips = dict.fromkeys(part.by_id, 0.0)
    for flow in part.flows:
        for end in (flow.start, flow.to):
            trips[split_zone(end)[0]] += flow.trips_per_day
    return max(part.items, key=lambda item: trips[item.id])


def _turns(part: Question, anchor: Item) -> tuple[int, ...]:
    """In which turns the anchor must be held, so that every arrangement is one of those."""
    free = all(len(set(item.may_turn_deg)) == 4 for item in part.items)
    even = all(side % part.grid_mm == 0 for item in part.items for side in (item.length_mm, item.width_mm))
    return anchor.may_turn_deg[:1] if free and even else tuple(dict.fromkeys(anchor.may_turn_deg))
