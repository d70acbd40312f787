"""Where the numbers of a room come from, for a page that says why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from flatstock.prints.room_lengths import in_units, length_words

__all__ = ["room_reasons"]

Document = Mapping[str, Any]
WAYS = ("escape_width_mm", "escape_longest_mm", "access_width_mm", "narrow_longest_mm")
SOURCE, FILE = "docs/room.md", "room.toml"


def room_reasons(document: Document, system: str = "metric") -> dict[str, Any]:
    """The `why` of a `flatstock.room/1` in the form of every other page, with the numbers that it is about.

    Walks are said in metres, or with `system` "us" in feet.
    """
    said = {}
    if document["walk_m_per_day"] is not None:
        said["walk_m_per_day"] = in_units(f"{document['walk_m_per_day']:.1f} m a day", system)
    if document["proof"].get("bound_m_per_day"):
        said["bound_m_per_day"] = in_units(f"{document['proof']['bound_m_per_day']:.1f} m a day", system)
    return {**said, "why": list(_reasons(document, said, system))}


def _reasons(document: Document, said: Mapping[str, str], system: str) -> Iterator[Document]:
    if "walk_m_per_day" in said:
        yield _reason(
            "walk_m_per_day",
            "Metres walked a day",
            "the sum over every flow of trips a day x its shortest walk round what stands there",
            [
                _given(
                    f"{flow['from']} to {flow['to']}",
                    f"{flow['trips_per_day']:g} x {length_words(flow['walk_mm'], system)}",
                )
                for flow in document["flows"]
                if flow["walk_mm"] is not None
            ],
        )
    if "bound_m_per_day" in said:
        yield _reason(
            "bound_m_per_day",
            "The least that any plan on this grid walks",
            "of every flow at least both legs between its two middles; proven by the search for places",
            [_given("grid", f"{document['grid_mm']:g} mm")],
        )
    if document["ways_out"]:
        rules = document["rules"]
        yield _reason(
            "ways_out",
            "Ways out",
            "the shortest way from each place where somebody works to an exit, part of it narrow where that is allowed",
            [_given(name.replace("_", " ").removesuffix(" mm"), f"{rules[name]:g} mm")
             for name in WAYS if name in rules],
        )  # fmt: skip
    if document.get("air"):
        yield _reason(
            "air",
            "Air",
            "of each hood its face or open sides x the velocity that holds the fume; changes are that over the room",
            [_given(hood["id"], f"{hood['velocity_m_s']:g} m/s", hood["velocity_kind"])
             for hood in document["air"].get("hoods", ())],
        )  # fmt: skip
    if document.get("fire"):
        yield _reason(
            "fire",
            "Fire load",
            "the sum of what can burn x its heat of burning, over the floor",
            [_given(str(one["what"]), f"{one['kg']:g} kg x {one['MJ_kg']:g} MJ/kg")
             for one in document["fire"]["stock"]],
        )  # fmt: skip


def _reason(of: str, title: str, formula: str, inputs: list[Document]) -> Document:
    return {"of": of, "title": title, "formula": formula, "source": SOURCE, "note": "", "inputs": inputs}


def _given(name: str, value: str, kind: str = "assumed") -> Document:
    return {"name": name, "value": value, "kind": kind, "source": FILE}
