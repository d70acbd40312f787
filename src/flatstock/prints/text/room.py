"""A room in a terminal: what stands where, in walking order; walks, ways out, what somebody has to decide."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.room_words import air_lines, beside, fire_lines, walking_order
from flatstock.prints.text.layout import heading, table, title, wrapped

__all__ = ["room_text"]

Document = Mapping[str, Any]
_STATUS = {
    "optimal": "the best there is on this grid, proven",
    "feasible": "passes every rule",
    "impossible": "can't be, proven",
    "unknown": "not found in the time given; that does not say that it can't be",
}


def room_text(document: Document) -> str:
    """A `flatstock.room/1` for people."""
    proof = document["proof"]
    lines = [
        *title(f"Room: {_STATUS[proof['status']]}", str(document.get("shop") or "")),
        *_walked(document),
        *(wrapped(str(document["why"])) if document.get("why") else []),
        *_standing(document),
        *_flows(document),
        *_trolley(document),
        *_ways_out(document),
        *_listed("Left out", [f"{one['item']}: {one['because']}" for one in document["left_out"]]),
        *_listed("Would help", [f"{one['what']} ({one['proof']})" for one in document["would_help"]]),
        *_listed("Other plans", [f"{_metres_a_day(o)}: {o['differs']}" for o in document["alternatives"]]),
        *_listed("Air", air_lines(document)),
        *_listed("Fire load", fire_lines(document)),
        *_listed("Take note", [str(one["text"]) for one in document["warnings"]], mark="!"),
        *_cautions(document),
    ]
    return "\n".join(lines) + "\n"


def _walked(document: Document) -> list[str]:
    walk, bound = document["walk_m_per_day"], document["proof"]["bound_m_per_day"]
    if walk is None:
        return []
    proven = "" if bound is None else f"; no plan on this grid walks less than {bound:.1f} m"
    return wrapped(f"{walk:.1f} m walked a day{proven}.")


def _standing(document: Document) -> list[str]:
    there = walking_order(document)
    if not there:
        return []
    rows = [("", "from left, below", "takes", "turned", "beside it")]
    for item in there:
        rows.append((
            str(item["id"]), f"{_m(item['x_mm'])}, {_m(item['y_mm'])}",
            f"{_m(item['length_mm'])} x {_m(item['width_mm'])}", f"{item['turned_deg']}°", beside(item, there, _m),
        ))  # fmt: skip
    return [*heading("What stands where [m], from the exit inwards"), *table(rows, "<<<><")]


def _flows(document: Document) -> list[str]:
    rows = [("from", "to", "trips a day", "walk, m", "by")]
    for flow in document["flows"]:
        walk = "—" if flow.get("walk_mm") is None else _m(flow["walk_mm"])
        rows.append((str(flow["from"]), str(flow["to"]), f"{flow['trips_per_day']:g}", walk, str(flow["by"])))
    return [*heading("Walks"), *table(rows, "<<>><")] if len(rows) > 1 else []


def _trolley(document: Document) -> list[str]:
    of = document.get("trolley")
    if not of:
        return []
    length, width = of["box_mm"]
    words = (
        f"The trolley takes {_m(length)} x {_m(width)} m with its clearance and turns in {_m(of['turning_mm'])} m; "
        f"round a corner of two equal ways it goes from {of['corner_mm'] / 1000:.2f} m on."
    )
    return ["", *wrapped(words, first="  ")]


def _ways_out(document: Document) -> list[str]:
    rows = [("from", "exit", "walk, m")]
    for way in document["ways_out"]:
        rows.append(
            (
                str(way["zone"]),
                str(way["exit"] or "none"),
                "—" if way["walk_mm"] is None else _m(way["walk_mm"]),
            )
        )
    return [*heading("Ways out"), *table(rows, "<<>")] if len(rows) > 1 else []


def _listed(words: str, said: list[str], *, mark: str = "•") -> list[str]:
    if not said:
        return []
    return [*heading(words), *(line for one in said for line in wrapped(one, first=f"  {mark} "))]


def _cautions(document: Document) -> list[str]:
    said = [f"{one['text']} Defer to: {str(one['defer_to']).rstrip('.')}." for one in document["cautions"]]
    return _listed("Cautions, and who decides", said)


def _metres_a_day(other: Document) -> str:
    return f"{other['walk_m_per_day']:.1f} m a day"


def _m(length_mm: float) -> str:
    return f"{length_mm / 1000:.3f}".rstrip("0").rstrip(".") or "0"
