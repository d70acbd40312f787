"""What the screen and the paper say of a room in the same way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

__all__ = ["air_lines", "beside", "fire_lines", "walking_order"]

Document = Mapping[str, Any]


def walking_order(document: Document) -> list[Any]:
    """What stands in the room by its way from the exit, so that who reads it out walks through the room."""
    ways: dict[str, int] = {}
    for way in document.get("ways_out") or ():
        item = way["zone"].rpartition(".")[0]
        ways[item] = min(ways.get(item, 10**9), way["walk_mm"] or 10**9)
    there = [item for item in document["items"] if item.get("x_mm") is not None]
    return sorted(there, key=lambda item: (ways.get(item["id"], 10**9), item["id"]))


def beside(item: Document, there: list[Any], words: Callable[[float], str]) -> str:
    """The nearest other item, which side it is on, and how far; `words` says a length."""
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
            side = "on its right" if other["x_mm"] > item["x_mm"] else "on its left"
        else:
            side = "above it" if other["y_mm"] > item["y_mm"] else "below it"
        found.append((max(x, 0) ** 2 + max(y, 0) ** 2, str(other["id"]), side, max(x, y, 0)))
    if not found:
        return ""
    _, name, side, far = min(found)
    return f"{name} {side}, touching" if far == 0 else f"{name} {side}, {words(far)}"


def air_lines(document: Document) -> list[str]:
    """The part `air` in sentences."""
    air = document.get("air")
    if not air:
        return []
    lines = []
    for hood in air["hoods"]:
        changes = "" if hood["changes_per_h"] is None else f", {hood['changes_per_h']:.1f} changes an hour"
        winter = "" if hood["winter_cost"] is None else f", {hood['winter_cost']:.0f} a winter"
        kind = ", sizes assumed" if hood["sizes_kind"] == "assumed" else ""
        said = f"; {hood['text']}" if hood["text"] else ""
        lines.append(
            f"{hood['id']}: {hood['flow_m3_h']:.0f} m³/h{changes}, {hood['make_up_kW']:.1f} kW to warm it by"
            f" {air['difference_K']:g} K{winter}{kind}{said}."
        )
    if air["people_at_most"] is not None:
        people = air["people_at_most"]
        lines.append(f"The air of the room counts for {people} people, 11 m³ each; machines take some of it.")
    return [*lines, str(air["text"])]


def fire_lines(document: Document) -> list[str]:
    """The part `fire` in sentences, with the list for the fire service."""
    fire = document.get("fire")
    if not fire:
        return []
    lines = [str(fire["text"])]
    for name in ("now", "fullest"):
        if (load := fire[name]) is not None:
            lines.append(
                f"{name.capitalize()}: {load['mass_kg']:.0f} kg, {load['heat_GJ']:.1f} GJ, {load['MJ_m2']:.0f} MJ/m²"
                f" ({load['net_MJ_m2']:.0f} with measured heats)."
            )
    if fire["most_kg"]:
        listed = ", ".join(f"{one['plastic'].upper()} {one['kg']:.0f} kg" for one in fire["most_kg"])
        lines.append(f"Most stock of each alone: {listed}.")
    stock = [f"{one['kg']:g} kg {one['of']} ({one['at'] or 'place not said'})" for one in fire["stock"]]
    return [*lines, f"For the fire service: {'; '.join(stock) or 'nothing on file'}."]
