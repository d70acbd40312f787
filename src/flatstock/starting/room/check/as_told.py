"""Is what a drawn document says of its own plan true: where zones lie, how far walks and ways out are.

What it leaves unsaid is left aside; what it says must be what this plan comes to, walks to 1 mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from flatstock.starting.room.plan import Broken, Plan
from flatstock.starting.room.question import Question, split_zone
from flatstock.starting.room.rectangles import Rect, overlap
from flatstock.starting.room.ways import Ways, solids_of
from flatstock.starting.room.words import metres

__all__ = ["truth"]

Document = Mapping[str, Any]
TO_MM = 1  # walks are right to so much
A_DAY_M = 0.051  # a day's walk may be rounded to a tenth of a metre


def truth(question: Question, plan: Plan, ways: Ways, drawn: Document) -> Iterator[Broken]:
    """Every number of a drawn document that is not so."""
    for item in _tables(drawn.get("items")):
        yield from _zones(question, plan, item)
    for flow in _tables(drawn.get("flows")):
        yield from _flow(question, plan, ways, flow)
    yield from _a_day(question, plan, ways, drawn)
    for way in _tables(drawn.get("ways_out")):
        yield from _way_out(question, plan, ways, way)


def _zones(question: Question, plan: Plan, drawn: Document) -> Iterator[Broken]:
    item, at = question.by_id.get(str(drawn.get("id"))), plan.placements.get(str(drawn.get("id")))
    if item is None or at is None:
        return
    told = {str(zone.get("id")): zone for zone in _tables(drawn.get("zones"))}
    for zone in item.zones:
        said = told.get(zone.id, {})
        real = item.zone_as_placed(zone, at)
        for key in ("x_mm", "y_mm", "length_mm", "width_mm"):
            if said.get(key) is not None and said[key] != getattr(real, key):
                name = f"{item.id}.{zone.id}"
                text = (
                    f"{name}.{key} is {said[key]} in the plan; as {item.id} stands it is {getattr(real, key)}"
                )
                yield Broken("told", (name,), text)


def _flow(question: Question, plan: Plan, ways: Ways, drawn: Document) -> Iterator[Broken]:
    start, end = str(drawn.get("from")), str(drawn.get("to"))
    if not _there(question, plan, start) or not _there(question, plan, end):
        return
    walk, said = ways.walk_mm(start, end), drawn.get("walk_mm")
    if walk is None:
        return  # a fault of the plan, and told as one
    if said is not None and not _near(said, walk, TO_MM):
        text = (
            f"from {start} to {end} the plan says {_length(said)} to walk; the shortest way is {metres(walk)}"
        )
        yield Broken("told", (start, end), text)
    corners = _corners(drawn.get("path_mm"))
    if corners is None:
        yield Broken("told", (start, end), f"the path from {start} to {end} is no list of corners [x, y]")
    elif corners:
        yield from _path(question, plan, (start, end), corners, walk)


def _path(
    question: Question,
    plan: Plan,
    ends: tuple[str, str],
    corners: Sequence[tuple[float, float]],
    walk: int,
) -> Iterator[Broken]:
    """A drawn path runs from middle to middle along the walls, through nothing, and is as short as can be."""
    said = f"the path drawn from {ends[0]} to {ends[1]}"
    for name, (x, y) in zip(ends, (corners[0], corners[-1]), strict=True):
        item, zone = question.zone_of(name)
        twice = item.zone_as_placed(zone, plan.placements[item.id]).centre_twice
        if abs(2 * x - twice[0]) > 2 * TO_MM or abs(2 * y - twice[1]) > 2 * TO_MM:
            yield Broken("told", (name,), f"{said} does not end in the middle of {name}")
    length = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(corners))
    if not _near(length, walk, TO_MM * len(corners)):
        text = f"{said} is {metres(length)} long; the shortest way is {metres(walk)}"
        yield Broken("told", ends, text)
    if any(a[0] != b[0] and a[1] != b[1] for a, b in pairwise(corners)):
        yield Broken("told", ends, f"{said} runs at a slant")
    elif any(_blocked(question, plan, a, b) for a, b in pairwise(corners)):
        yield Broken("told", ends, f"{said} goes through something that stands there")


def _blocked(question: Question, plan: Plan, a: tuple[float, float], b: tuple[float, float]) -> bool:
    """True where the square that somebody walks with meets something on the way, by more than 1 mm."""
    half = question.rules.access_width_mm / 2 - TO_MM
    left, low = round(min(a[0], b[0]) - half), round(min(a[1], b[1]) - half)
    right, top = round(max(a[0], b[0]) + half), round(max(a[1], b[1]) + half)
    swept = Rect(left, low, right - left, top - low)
    known = {name: at for name, at in plan.placements.items() if name in question.by_id}
    return any(overlap(swept, solid) for solid in solids_of(question, known))


def _a_day(question: Question, plan: Plan, ways: Ways, drawn: Document) -> Iterator[Broken]:
    said, total, trips = drawn.get("walk_m_per_day"), 0.0, 0.0
    for flow in question.flows:
        if _there(question, plan, flow.start) and _there(question, plan, flow.to):
            walk = ways.walk_mm(flow.start, flow.to)
            if walk is None:
                return
            total += flow.trips_per_day * walk / 1000
            trips += flow.trips_per_day
    if said is not None and not _near(said, total, A_DAY_M + trips * TO_MM / 1000):
        text = f"the plan says {said} m walked a day; its shortest ways come to {total:.1f} m"
        yield Broken("told", ("walk_m_per_day",), text)


def _way_out(question: Question, plan: Plan, ways: Ways, drawn: Document) -> Iterator[Broken]:
    name, said = str(drawn.get("zone")), drawn.get("walk_mm")
    if not _there(question, plan, name) or said is None:
        return
    _, zone = question.zone_of(name)
    out = ways.out(name) if zone.standing else None
    if out is not None and out.walk_mm is not None and not _near(said, out.walk_mm, TO_MM):
        text = (
            f"from {name} the plan says {_length(said)} to an exit; the shortest way is {metres(out.walk_mm)}"
        )
        yield Broken("told", (name,), text)


def _there(question: Question, plan: Plan, name: str) -> bool:
    """True for a zone of something that stands."""
    item, zone = split_zone(name)
    known = question.by_id.get(item)
    return known is not None and item in plan.placements and any(one.id == zone for one in known.zones)


def _near(said: object, real: float, within: float) -> bool:
    return isinstance(said, int | float) and not isinstance(said, bool) and abs(said - real) <= within + 1e-6


def _length(said: object) -> str:
    if isinstance(said, int | float) and not isinstance(said, bool) and abs(said) < 1e9:
        return metres(said)
    return repr(said)


def _corners(said: object) -> list[tuple[float, float]] | None:
    """The corners of a path; empty where none is drawn, None where it can't be read."""
    if said is None:
        return []
    if not isinstance(said, list):
        return None
    found = []
    for corner in said:
        good = isinstance(corner, list) and len(corner) == 2
        if not good or not all(_near(number, 0.0, 1e7) for number in corner):
            return None
        found.append((corner[0], corner[1]))
    return found


def _tables(listed: object) -> list[Document]:
    return [one for one in listed if isinstance(one, Mapping)] if isinstance(listed, list) else []
