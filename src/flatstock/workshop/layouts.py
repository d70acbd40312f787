"""What each file of a workshop may hold: data/layouts/*.toml, read once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

import toml_rs

from flatstock.workshop.fields import Field, Layout, Table

__all__ = ["NAMES", "layout", "table_of"]

#: in the order of the pages
NAMES: tuple[str, ...] = (
    "shop",
    "plastics",
    "lots",
    "orders",
    "offcuts",
    "supply",
    "room",
    "outlay",
    "done",
    "changes",
)


@cache
def layout(name: str) -> Layout:
    """The layout of a file by its name without ending, "shop"."""
    text = (files("flatstock.workshop") / "data" / "layouts" / f"{name}.toml").read_text("utf-8")
    data: dict[str, Any] = toml_rs.loads(text)
    tables: dict[str, Table] = {}
    return Layout(
        file=data["file"],
        about=data["about"],
        rows=data.get("rows", ""),
        example=data.get("example", ""),
        table=_table("whole", data, tables),
    )


def table_of(name: str, field: str) -> Table:
    """The table that a field of the whole file stands for."""
    table = layout(name).table.by_name[field].table
    assert table is not None
    return table


def _table(name: str, data: Mapping[str, Any], made: dict[str, Table]) -> Table:
    if name not in made:
        entry = data[name]
        declared = dict(entry["fields"])
        first = {"id": declared.pop("id")} if "id" in declared else {}
        for group in entry.get("include", []):
            first |= data[group]["fields"]
        made[name] = Table(
            name=entry["name"],
            fields=tuple(_field(key, says, data, made) for key, says in (first | declared).items()),
            one_of=tuple(tuple(group) for group in entry.get("one_of", [])),
            open=entry.get("open", False),
        )
    return made[name]


def _field(name: str, says: Mapping[str, Any], data: Mapping[str, Any], made: dict[str, Table]) -> Field:
    given = dict(says)
    if table := given.pop("table", None):
        given["table"] = _table(table, data, made)
    return Field(name=name, **{**given, "choices": tuple(given.get("choices", ()))})
