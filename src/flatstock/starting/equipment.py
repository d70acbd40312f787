"""Typical machines of a workshop by class and sheet size, from data/equipment.toml; a user's own go before them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal, cast, get_args

from flatstock.evidence import Kind, Value

__all__ = [
    "NECESSITIES",
    "SIZES",
    "Equipment",
    "Necessity",
    "Size",
    "TypicalZone",
    "classes",
    "equipment",
    "sheet_mm",
]

Necessity = Literal["cannot_press", "cannot_press_safely", "cannot_sell", "faster", "nicer"]
NECESSITIES: tuple[Necessity, ...] = get_args(Necessity)  #: from what comes first to what may wait
Size = Literal["s", "m", "l"]
SIZES: tuple[Size, ...] = get_args(Size)


@dataclass(frozen=True, slots=True, kw_only=True)
class TypicalZone:
    """Floor that must stay free beside a machine of a class, with the reason."""

    id: str
    kind: Literal["work", "service", "swing"]
    side: Literal["front", "right", "back", "left"]
    depth_mm: int
    why: str
    least_mm: int = 0  #: the zone is at least so long, whatever the machine
    people: int = 1
    trolley: bool = False
    exclusive: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """One class at one sheet size; every number with its evidence, in the unit of its name."""

    id: str
    what: str
    size: Size
    necessity: Necessity
    numbers: Mapping[str, Value] = field(default_factory=dict)  #: "length_mm", "mass_kg", "heaters_kW", ...
    zones: tuple[TypicalZone, ...] = ()
    noise_dB: Value | None = None  #: A-weighted, at about one metre
    noise_of: str = ""
    combustible: bool = False
    hot: bool = False
    note: str = ""


@cache
def classes() -> tuple[str, ...]:
    """The ids of all classes, as the file has them."""
    return tuple(_data()["classes"])


def sheet_mm(size: Size) -> tuple[int, int]:
    """Length and width of the sheet that a size stands for [mm].

    >>> sheet_mm("m")
    (1250, 850)
    """
    length, width = _data()["sheets"][size]
    return length, width


@cache
def equipment(name: str, size: Size) -> Equipment:
    """The class `name` at a sheet size.

    Raises
    ------
    KeyError
        There is no such class.

    >>> press = equipment("hot_press", "m")
    >>> press.numbers["length_mm"].value, press.numbers["mass_kg"].high, press.numbers["mass_kg"].kind
    (1700.0, 2000.0, 'assumed')
    """
    entry: dict[str, Any] = _data()["classes"][name]
    entry = {**_data()["classes"][entry["like"]], **entry} if "like" in entry else entry
    noise = entry.get("noise_dB")
    return Equipment(
        id=name,
        what=entry["what"],
        size=size,
        necessity=entry["necessity"],
        numbers=MappingProxyType({key: _value(key, says) for key, says in entry.get(size, {}).items()}),
        zones=tuple(_zone(zone, size) for zone in entry.get("zones", []) if size in zone["depth_mm"]),
        noise_dB=None if noise is None else _value("noise_dB", noise),
        noise_of=entry.get("noise_of", ""),
        combustible=entry.get("combustible", False),
        hot=entry.get("hot", False),
        note=entry.get("note", ""),
    )


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads((files("flatstock.starting") / "data" / "equipment.toml").read_text("utf-8"))


def _zone(entry: Mapping[str, Any], size: Size) -> TypicalZone:
    return TypicalZone(**{**entry, "depth_mm": entry["depth_mm"][size]})


def _value(name: str, says: object) -> Value:
    """A number of the file: one, or [low, typical, high], or either under `value` with its own evidence."""
    table: Mapping[str, Any] = says if isinstance(says, dict) else {"value": says}
    numbers = table["value"] if isinstance(table["value"], list) else [table["value"]] * 3
    low, typical, high = (float(number) for number in numbers)
    kind = cast(Kind, table.get("kind", _data()["kind"]))
    return Value(typical, low, high, kind, table.get("source", _data()["source"]), name.rpartition("_")[2])
