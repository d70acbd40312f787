"""Cable runs on the plan: from where the supply comes in to the panel, and from there to what draws current."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Question
from flatstock.starting.room.surroundings.cable_way import Point, cable_way
from flatstock.starting.room.walls import inside

__all__ = ["Wired", "cable_part"]

PANEL = "supply_panel"
TEXT = (
    "Runs along the walls' directions as seen from above; what they rise and drop comes on top. Where cables go, how"
    " they are laid and what protects them is the electrician's to say."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wired:
    """One load of the supply."""

    load: str
    at: str | None  #: the item of the room that it belongs to, as written; None: that of its own name
    lines: tuple[int, ...]  #: L1 is 1
    current: float  #: in each of them [A]
    power: float  #: [kW]


def cable_part(question: Question, plan: Plan | None, loads: Sequence[Wired]) -> dict[str, Any]:
    """The part `supply` of a room's document; loads of things that stand nowhere have no run."""
    start, name = _start(question, plan)
    floor, solid = inside(question.room), [column.box for column in question.room.columns]
    standing = (
        {}
        if plan is None
        else {item: question.by_id[item].footprint(at) for item, at in plan.placements.items()}
    )
    found = []
    for one in sorted(loads, key=lambda load: load.load):
        at = one.at or one.load
        end = _middle(question, plan, at)
        others = [box for item, box in standing.items() if item not in (at, name)]
        path = (
            []
            if start is None or end is None
            else cable_way(start, end, floor=floor, solid=solid, boxes=others)
        )
        found.append({
            "load": one.load,
            "at": at if end is not None else None,
            "lines": list(one.lines),
            "current_A": round(one.current, 3),
            "kW": round(one.power, 3),
            "run_mm": round(sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(path)))
            if path else None,
            "path_mm": [list(point) for point in path],
        })  # fmt: skip
    return {"from": name, "from_mm": None if start is None else list(start), "loads": found, "text": TEXT}


def _start(question: Question, plan: Plan | None) -> tuple[Point | None, str | None]:
    """The panel where it stands, else where power comes in."""
    for item in question.items:
        if item.kind == PANEL and (middle := _middle(question, plan, item.id)) is not None:
            return middle, item.id
    point = next((one for one in question.room.supply_points if one.kind == "power"), None)
    return (None, None) if point is None else ((point.x_mm, point.y_mm), point.id)


def _middle(question: Question, plan: Plan | None, name: str) -> Point | None:
    item, at = question.by_id.get(name), None if plan is None else plan.placements.get(name)
    if item is None or at is None:
        return None
    x, y = item.footprint(at).centre_twice
    return x / 2, y / 2
