"""What the engine takes where a workshop's file is silent: films, contacts, pressures; each with its band."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from flatstock.evidence import Value
from flatstock.units import si_unit, split_name, to_si

__all__ = ["data_file", "metal_value", "value", "values", "written"]


def value(key: str) -> Value:
    """A default by its name in data/defaults.toml, "cooling_press.fan_film_W_m2K"; SI.

    >>> value("cooling_press.fan_film_W_m2K").value
    25.0
    """
    return values()[key]


def metal_value(metal: str, key: str) -> Value:
    """A number of a library metal, "density_kg_m3"; SI."""
    table = data_file("metals.toml")[metal]
    assert isinstance(table, dict)
    return _value(key, table[key])


@cache
def values() -> Mapping[str, Value]:
    """All of them by name."""
    tables = data_file("defaults.toml")
    found = {}
    for section, entries in tables.items():
        assert isinstance(entries, dict)
        for name, entry in entries.items():
            found[f"{section}.{name}"] = _value(name, entry)
    return MappingProxyType(found)


def written(key: str) -> str:
    """A default with its band as the data file has it, for a page: "25 (15 to 30)"."""
    section, name = key.split(".")
    entry = data_file("defaults.toml")[section]
    assert isinstance(entry, dict)
    of = entry[name]
    return f"{of['value']:g} ({of['low']:g} to {of['high']:g})"


@cache
def data_file(name: str) -> dict[str, object]:
    """A data file of this package."""
    return tomllib.loads((files("flatstock.workshop") / "data" / name).read_text("utf-8"))


def _value(name: str, entry: Mapping[str, object]) -> Value:
    parts = split_name(name)

    def si(number: object) -> float:
        assert isinstance(number, int | float)
        return float(number) if parts is None else to_si(number, parts[1], parts[2])

    kind, source = entry["kind"], entry["source"]
    assert isinstance(source, str)
    unit = "" if parts is None else si_unit(parts[1])
    return Value(si(entry["value"]), si(entry["low"]), si(entry["high"]), kind, source, unit)  # type: ignore[arg-type]
