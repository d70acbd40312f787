"""JSON Schemas (draft 2020-12) of the documents that other programs read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

__all__ = ["NAMES", "load"]

_FOLDER = Path(__file__).parent
#: what has a schema, by the middle word of its format: `flatstock.card/1` is `card`
NAMES: tuple[str, ...] = tuple(sorted(path.stem for path in _FOLDER.glob("*.json")))


def load(name: str) -> dict[str, Any]:
    """The schema of `flatstock.<name>/1`.

    Raises
    ------
    KeyError
        There is no such document.

    >>> load("card")["properties"]["format"]
    {'const': 'flatstock.card/1'}
    """
    if name not in NAMES:
        raise KeyError(f"no schema {name!r}; there are {', '.join(NAMES)}")
    schema: dict[str, Any] = json.loads((_FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return schema
