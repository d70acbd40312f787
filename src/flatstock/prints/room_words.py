"""What the screen and the paper say of a room in the same way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flatstock.prints.room_lengths import BTU_J, FOOT_M, POUND_KG, in_units, length_words, whole

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


def air_lines(document: Document, system: str = "metric") -> list[str]:
    """The part `air` in sentences; with `system` "us" in cubic feet a minute, Btu and °F."""
    air = document.get("air")
    if not air:
        return []
    lines = []
    for hood in air["hoods"]:
        changes = "" if hood["changes_per_h"] is None else f", {hood['changes_per_h']:.1f} changes an hour"
        heat = _heat(hood["make_up_kW"], system)
        winter = "" if hood["winter_cost"] is None else f", {hood['winter_cost']:.0f} a winter"
        kind = ", sizes assumed" if hood["sizes_kind"] == "assumed" else ""
        said = f"; {hood['text']}" if hood["text"] else ""
        lines.append(
            f"{hood['id']}: {_flow(hood['flow_m3_h'], system)}{changes}, {heat} to warm it by"
            f" {_warmer(air['difference_K'], system)}{winter}{kind}{said}."
        )
    if air["people_at_most"] is not None:
        people = air["people_at_most"]
        said = f"The air of the room counts for {people} people, 11 m³ each; machines take some of it."
        lines.append(in_units(said, system))
    return [*lines, str(air["text"])]


def fire_lines(document: Document, system: str = "metric") -> list[str]:
    """The part `fire` in sentences, with distances and the list for the fire service; `system` "us": in lb and Btu."""
    fire = document.get("fire")
    if not fire:
        return []
    lines = [in_units(str(fire["text"]), system)]
    for name in ("now", "fullest"):
        if (load := fire[name]) is not None:
            a_floor = f"{load['MJ_m2']:.0f} MJ/m² ({load['net_MJ_m2']:.0f} MJ/m² with measured heats)"
            lines.append(
                f"{name.capitalize()}: {_mass(load['mass_kg'], system)}, {_burns(load['heat_GJ'], system)},"
                f" {in_units(a_floor, system)}."
            )
    if fire["most_kg"]:
        listed = ", ".join(f"{one['plastic'].upper()} {_mass(one['kg'], system)}" for one in fire["most_kg"])
        lines.append(f"Most stock in lots, of each alone, beside what fire.stock lists: {listed}.")
    if fire["places"]:
        listed = "; ".join(_place(one, system) for one in fire["places"])
        lines.append(f"What may burn, and how far from heat: {listed}.")
    stock = [f"{_mass(one['kg'], system)} {_stuff(one)} ({_where(one, system)})" for one in fire["stock"]]
    return [*lines, f"For the fire service: {'; '.join(stock) or 'nothing on file'}."]


def _heat(kW: float, system: str) -> str:
    """Btu an hour where inches are read."""
    metric = f"{kW:.1f} kW"
    return metric if system != "us" else f"{whole(kW * 3.6e6 / BTU_J)} Btu/h ({metric})"


def _burns(GJ: float, system: str) -> str:
    """Millions of Btu where inches are read."""
    return f"{GJ:.1f} GJ" if system != "us" else f"{whole(GJ * 1e3 / BTU_J)} million Btu"


def _flow(m3_h: float, system: str) -> str:
    """Cubic feet a minute where inches are read."""
    metric = f"{m3_h:.0f} m³/h"
    return metric if system != "us" else f"{m3_h / 60 / FOOT_M**3:.0f} cfm ({metric})"


def _warmer(kelvin: float, system: str) -> str:
    return f"{kelvin:g} K" if system != "us" else f"{kelvin * 1.8:g} °F"


def _mass(kg: float, system: str) -> str:
    metric = f"{kg:.0f} kg" if kg >= 10 else f"{kg:.1f} kg"
    return metric if system != "us" else f"{kg / POUND_KG:.0f} lb ({metric})"


def _place(one: Document, system: str) -> str:
    """What may burn, and its gap to the nearest hot press."""
    if one["hot"] is None:
        return str(one["item"])
    return f"{one['item']} {length_words(one['gap_mm'], system)} from {one['hot']}"


def _where(one: Document, system: str) -> str:
    """The thing that it stands in, and where that is on the plan."""
    if one["at"] is None:
        return "place not said"
    if one.get("in_room") is False:
        return f"{one['at']}, which is not in room.toml"
    if one.get("x_mm") is None:
        return str(one["at"])
    left, below = (length_words(one[key], system) for key in ("x_mm", "y_mm"))
    return f"{one['at']}, its middle {left} from the left and {below} up on the plan"


def _stuff(one: Document) -> str:
    """What burns, in words for somebody who doesn't know the short names of plastics."""
    name, what = str(one["of"]), str(one["what"])
    if name in what:
        return what
    return name.upper() if name.upper() == what else f"{what} {name.upper()}"
