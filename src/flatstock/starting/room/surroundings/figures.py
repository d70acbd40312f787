"""The figures of data/air_and_fire.toml."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["figures"]


@cache
def figures() -> dict[str, Any]:
    """The whole file."""
    return tomllib.loads((files("flatstock.starting") / "data" / "air_and_fire.toml").read_text("utf-8"))
