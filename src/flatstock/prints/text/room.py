"""A room in a terminal: what stands where, in walking order; walks, ways out, what somebody has to decide."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flatstock.prints.room_lengths import in_units, length_words
from flatstock.prints.room_words import air_lines, beside, fire_lines, walking_order
from flatstock.prints.text.layout import TIE, heading, table, title, wrapped

__all__ = ["room_text"]

Document = Mapping[str, Any]
Said = Callable[[str], str]
InWords = Callable[[float], str]
_STATUS = {
    "optimal": "the best there is on this grid, proven",
    "feasible": "passes every rule",
    "impossible": "can't be, proven",
    "unknown": "not found in the time given; that does not say that it can't be",
}


def room_text(document: Document, system: str = "metric") -> str:
    """A `flatstock.room/1` for people, lengths in metres or with `system` "us" in feet and inches."""
    proof = document["proof"]

    def said(words: str) -> str:
        return in_units(words, system)

    lines = [
        *title(f"Room: {_STATUS[proof['status']]}", str(document.get("shop") or "")),
        *_walked(document, said),
        *(wrapped(said(str(document["why"]))) if document.get("why") else []),
        *_standing(document, system),
        *_flows(document, system),
        *_trolley(document, said),
        *_ways_out(document, system),
        *_listed("Left out", [said(f"{one['item']}: {one['because']}") for one in document["left_out"]]),
        *_listed("Would help", [said(f"{one['what']} ({one['proof']})") for one in document["would_help"]]),
        *_listed("Other plans", [said(_other(one)) for one in document["alternatives"]]),
        *_listed("Air", air_lines(document, system)),
        *_listed("Fire load", fire_lines(document, system)),
        *_listed("Take note", [said(str(one["text"])) for one in document["warnings"]], mark="!"),
        *_cautions(document),
    ]
    return "\n".join(lines) + "\n"


def _walked(document: Document, said: Said) -> list[str]:
    walk, bound = document["walk_m_per_day"], document["proof"]["bound_m_per_day"]
    if walk is None:
        return []
    proven = "" if not bound else f"; no plan on this grid has less than {bound:.1f} m a day"
    return wrapped(said(f"{walk:.1f} m walked a day{proven}."))


def _standing(document: Document, system: str) -> list[str]:
    m = _lengths(system)
    there = walking_order(document)
    if not there:
        return []
    rows = [("", "from left, below", "takes", "turned", "beside it")]
    for item in there:
        rows.append((
            str(item["id"]), f"{m(item['x_mm'])}, {m(item['y_mm'])}",
            f"{m(item['length_mm'])} x {m(item['width_mm'])}", f"{item['turned_deg']}°", beside(item, there, m),
        ))  # fmt: skip
    return [*heading(f"What stands where{_unit(system)}, from the exit inwards"), *table(rows, "<<<><")]


def _flows(document: Document, system: str) -> list[str]:
    m = _lengths(system)
    rows = [("from", "to", "trips a day", f"walk{_unit(system)}", "by")]
    for flow in document["flows"]:
        walk = "—" if flow.get("walk_mm") is None else m(flow["walk_mm"])
        rows.append((str(flow["from"]), str(flow["to"]), f"{flow['trips_per_day']:g}", walk, str(flow["by"])))
    return [*heading("Walks"), *table(rows, "<<>><")] if len(rows) > 1 else []


def _trolley(document: Document, said: Said) -> list[str]:
    of = document.get("trolley")
    if not of:
        return []
    length, width = of["box_mm"]
    words = (
        f"The trolley takes {_m(length)} m x {_m(width)} m with its clearance and turns in {_m(of['turning_mm'])} m; "
        f"round a corner of two equal ways it goes from {of['corner_mm'] / 1000:.2f} m on."
    )
    return ["", *wrapped(said(words), first="  ")]


def _ways_out(document: Document, system: str) -> list[str]:
    m = _lengths(system)
    rows = [("from", "exit", f"walk{_unit(system)}")]
    for way in document["ways_out"]:
        rows.append(
            (
                str(way["zone"]),
                str(way["exit"] or "none"),
                "—" if way["walk_mm"] is None else m(way["walk_mm"]),
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


def _other(one: Document) -> str:
    file = f" ({one['file']}: --check judges and prints it)" if one["file"] else ""
    return f"{one['walk_m_per_day']:.1f} m a day: {one['differs']}{file}"


def _unit(system: str) -> str:
    """The unit in a heading over plain figures; feet and inches stand beside each of theirs."""
    return "" if system == "us" else " [m]"


def _lengths(system: str) -> InWords:
    if system != "us":
        return _m
    return lambda length_mm: length_words(length_mm, system).replace(" ", TIE)  # for a table, which wraps


def _m(length_mm: float) -> str:
    return f"{length_mm / 1000:.3f}".rstrip("0").rstrip(".") or "0"
