"""Fire load of a room from what is on file, and the sheet for the fire service."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Question
from flatstock.starting.room.rectangles import gap
from flatstock.starting.room.surroundings.asked import FireAsked
from flatstock.starting.room.surroundings.fire import Burning, fire_load, heat_of, most_stock, total_heat

__all__ = ["fire_part"]

Document = dict[str, Any]
NOT_READ = "The lots on file could not be read and are NOT counted: the figures here are too low."


def fire_part(
    asked: FireAsked, question: Question, plan: Plan | None, *, lots: Iterable[Burning] | None, area: float
) -> Document:
    """The part `fire` of the room's document; `area` of the floor [m2], `lots` what is on file, None: not read."""
    plastic = list(lots or ())
    stock = [*plastic, *asked.beside]
    mass = sum(one.mass for one in plastic)
    share = asked.fullest / mass if asked.fullest is not None and mass > 0 else 1.0
    fullest = [*(Burning(one.of, one.mass * share, one.at) for one in plastic), *asked.beside]
    return {
        "floor_m2": round(area, 4),
        "now": _load(stock, area),
        "fullest": _load(fullest, area) if asked.fullest is not None else None,
        "agreed_MJ_m2": None if asked.agreed is None else round(asked.agreed / 1e6, 3),
        "over_agreed": None if asked.agreed is None else fire_load(fullest, area) > asked.agreed,
        "most_kg": _most(asked, plastic, area),
        "stock": [_found(one, question, plan) for one in _by_stuff(stock)],
        "places": _places(question, plan),
        "text": ("" if lots is not None else NOT_READ + " ") + _words(asked, fullest, area),
    }


def _load(stock: list[Burning], area: float) -> Document:
    return {
        "mass_kg": round(sum(s.mass for s in stock), 3),
        "heat_GJ": round(total_heat(stock) / 1e9, 3),
        "MJ_m2": round(fire_load(stock, area) / 1e6, 1),
        "heat_net_GJ": round(total_heat(stock, net=True) / 1e9, 3),
        "net_MJ_m2": round(fire_load(stock, area, net=True) / 1e6, 1),
        "one_figure_MJ_m2": round(sum(s.mass * _one_figure(s.of) for s in stock) / area / 1e6, 1),
    }


def _one_figure(stuff: str) -> float:
    """[J/kg]: that of polyolefins for every plastic, their own for wood and cardboard."""
    heat = heat_of(stuff)
    return heat.design if heat.id in ("wood", "cardboard") else heat_of("hdpe").design


def _most(asked: FireAsked, plastic: list[Burning], area: float) -> list[Document]:
    """Most of each plastic alone in the lots under the agreed figure, beside all that the file lists besides."""
    if asked.agreed is None:
        return []
    beside = total_heat(asked.beside)
    return [
        {"plastic": name, "kg": round(most_stock(asked.agreed, area, heat_of(name).design, beside=beside), 1)}
        for name in sorted({one.of for one in plastic})
    ]


def _by_stuff(stock: list[Burning]) -> list[Document]:
    """What, how many kg, where: the sheet for the fire service."""
    found: defaultdict[tuple[str, str], float] = defaultdict(float)
    for one in stock:
        found[one.of, one.at] += one.mass
    return [
        {
            "of": name, "what": heat_of(name).what, "kg": round(mass, 3), "at": at or None,
            "MJ_kg": heat_of(name).design / 1e6, "note": heat_of(name).note,
        }
        for (name, at), mass in sorted(found.items())
    ]  # fmt: skip


def _found(one: Document, question: Question, plan: Plan | None) -> Document:
    """What burns with the middle of the thing that it stands in, from the corner that the room is measured from."""
    item, at = question.by_id.get(one["at"] or ""), plan.placements.get(one["at"] or "") if plan else None
    x, y = item.footprint(at).centre_twice if item is not None and at is not None else (None, None)
    return one | {
        "in_room": None if one["at"] is None else item is not None,
        "x_mm": None if x is None else x / 2,
        "y_mm": None if y is None else y / 2,
    }


def _places(question: Question, plan: Plan | None) -> list[Document]:
    """Where on the plan stands what burns, and how far it is from the nearest hot press."""
    if plan is None:
        return []
    there = [item for item in question.items if item.id in plan.placements]
    boxes = {item.id: item.footprint(plan.placements[item.id]) for item in there}
    hot = [item.id for item in there if item.kind == "hot_press" or item.hot_gap_mm]
    return [
        {
            "item": item.id, "x_mm": boxes[item.id].x_mm, "y_mm": boxes[item.id].y_mm,
            "hot": (nearest := min(hot, key=lambda h: gap(boxes[h], boxes[item.id]), default=None)),
            "gap_mm": None if nearest is None else gap(boxes[nearest], boxes[item.id]),
        }
        for item in sorted(there, key=lambda i: i.id) if item.combustible
    ]  # fmt: skip


def _words(asked: FireAsked, fullest: list[Burning], area: float) -> str:
    load = fire_load(fullest, area) / 1e6
    if asked.agreed is None:
        return (
            f"{load:.0f} MJ on each m². Nothing is agreed with the insurer yet, so no most stock can be named: ask"
            " for the figure and write it under fire as agreed_MJ_m2."
        )
    agreed = asked.agreed / 1e6
    word = "over" if load > agreed else "within"
    return f"{load:.0f} MJ on each m², {word} the {agreed:g} MJ/m² agreed with the insurer or the authority."
