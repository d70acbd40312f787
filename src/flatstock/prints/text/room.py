"""A room in a terminal: what stands where, in walking order; walks, ways out, what somebody has to decide."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

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
        *_air(document),
        *_fire(document),
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
    """Items by their way from the exit, so that who reads them out walks through the room."""
    ways: dict[str, int] = {}
    for way in document["ways_out"]:
        item = way["zone"].rpartition(".")[0]
        ways[item] = min(ways.get(item, way["walk_mm"] or 0), way["walk_mm"] or 0)
    there = [item for item in document["items"] if item.get("x_mm") is not None]
    if not there:
        return []
    rows = [("", "from left, below", "takes", "turned", "beside it")]
    for item in sorted(there, key=lambda item: (ways.get(item["id"], 0), item["id"])):
        rows.append((
            str(item["id"]), f"{_m(item['x_mm'])}, {_m(item['y_mm'])}",
            f"{_m(item['length_mm'])} x {_m(item['width_mm'])}", f"{item['turned_deg']}°", _beside(item, there),
        ))  # fmt: skip
    return [*heading("What stands where [m], from the exit inwards"), *table(rows, "<<<><")]


def _beside(item: Document, there: list[Any]) -> str:
    """The nearest other item, which side it is on, and how far."""
    found = []
    for other in there:
        if other is item:
            continue
        x = max(
            other["x_mm"] - item["x_mm"] - item["length_mm"],
            item["x_mm"] - other["x_mm"] - other["length_mm"],
        )
        y = max(
            other["y_mm"] - item["y_mm"] - item["width_mm"], item["y_mm"] - other["y_mm"] - other["width_mm"]
        )
        if x >= y:
            side = "right" if other["x_mm"] > item["x_mm"] else "left"
        else:
            side = "above" if other["y_mm"] > item["y_mm"] else "below"
        found.append((max(x, 0) ** 2 + max(y, 0) ** 2, side, other["id"], max(x, y, 0)))
    if not found:
        return ""
    _, side, name, far = min(found)
    return f"{side} {name}, {_m(far)}"


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


def _air(document: Document) -> list[str]:
    air = document.get("air")
    if not air:
        return []
    rows = [("hood", "m³/h", "changes/h", f"kW at {air['difference_K']:g} K", "a winter")]
    for hood in air["hoods"]:
        changes = "—" if hood["changes_per_h"] is None else f"{hood['changes_per_h']:.1f}"
        cost = "—" if hood["winter_cost"] is None else f"{hood['winter_cost']:.0f}"
        name = f"{hood['id']}{' (assumed)' if hood['sizes_kind'] == 'assumed' else ''}"
        rows.append((name, f"{hood['flow_m3_h']:.0f}", changes, f"{hood['make_up_kW']:.1f}", cost))
    said = [f"{hood['id']}: {hood['text']}" for hood in air["hoods"] if hood["text"]]
    lines = heading("Air")
    lines += table(rows, "<>>>>") if len(rows) > 1 else []
    if air["people_at_most"] is not None:
        said.append(
            f"The air of the room counts for {air['people_at_most']} people, 11 m³ each; machines take some of it."
        )
    for words in (*said, str(air["text"])):
        lines += wrapped(words, first="  ")
    return lines


def _fire(document: Document) -> list[str]:
    fire = document.get("fire")
    if not fire:
        return []
    rows = [("", "kg", "GJ", "MJ/m²", "with measured heats")]
    for name in ("now", "fullest"):
        if (load := fire[name]) is not None:
            net = f"{load['net_MJ_m2']:.0f}"
            rows.append(
                (name, f"{load['mass_kg']:.0f}", f"{load['heat_GJ']:.1f}", f"{load['MJ_m2']:.0f}", net)
            )
    lines = [*heading("Fire load"), *table(rows, "<>>>>"), *wrapped(str(fire["text"]), first="  ")]
    if fire["most_kg"]:
        listed = ", ".join(f"{one['plastic'].upper()} {one['kg']:.0f} kg" for one in fire["most_kg"])
        lines += wrapped(f"Most stock of each alone: {listed}.", first="  ")
    stock = [f"{one['kg']:g} kg {one['of']} ({one['at'] or 'place not said'})" for one in fire["stock"]]
    lines += wrapped(f"For the fire service: {'; '.join(stock) or 'nothing on file'}.", first="  ")
    return lines


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
