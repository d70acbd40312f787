"""The data files of this package: read once each, every number turned into a `Value` in SI units."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from flatstock.evidence import Value

__all__ = ["SI", "read", "value_of"]

_FOLDER = Path(__file__).parent / "data"

#: unit in a data file to (SI unit, factor); temperatures stay in °C throughout
SI: Mapping[str, tuple[str, float]] = {
    "1": ("1", 1.0),
    "%": ("1", 0.01),
    "°C": ("°C", 1.0),
    "K": ("K", 1.0),
    "1/K": ("1/K", 1.0),
    "kg": ("kg", 1.0),
    "mm": ("m", 1e-3),
    "min": ("s", 60.0),
    "s": ("s", 1.0),
    "h": ("s", 3600.0),
    "deg": ("deg", 1.0),
    "kg/m3": ("kg/m3", 1.0),
    "m3/kg": ("m3/kg", 1.0),
    "m3/kgK": ("m3/kgK", 1.0),
    "kJ/kg": ("J/kg", 1e3),
    "MJ/kg": ("J/kg", 1e6),
    "J/kg": ("J/kg", 1.0),
    "kJ/mol": ("J/mol", 1e3),
    "J/kgK": ("J/kgK", 1.0),
    "J/kgK2": ("J/kgK2", 1.0),
    "W/mK": ("W/mK", 1.0),
    "W/mK2": ("W/mK2", 1.0),
    "MPa": ("Pa", 1e6),
    "kPa s": ("Pa s", 1e3),
    "Pa s": ("Pa s", 1.0),
}


@cache
def read(name: str) -> Mapping[str, Any]:
    """The data file `name` (without ".toml") as it stands.

    Raises
    ------
    FileNotFoundError
        There is no such data file.
    """
    return tomllib.loads((_FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def value_of(table: Mapping[str, Any]) -> Value:
    """One value table of a data file, in SI units; a missing `low` or `high` is the value itself."""
    unit, factor = SI[table["unit"]]
    number = float(table["value"])
    note = str(table.get("note", ""))
    if "at" in table:
        note = f"at {table['at']}" + (f"; {note}" if note else "")
    return Value(
        number * factor,
        float(table.get("low", number)) * factor,
        float(table.get("high", number)) * factor,
        table["kind"],
        table["source"],
        unit,
        note,
    )
