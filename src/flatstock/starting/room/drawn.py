"""A plan that somebody has drawn or another program has made: a `flatstock.room/1` document as it stands."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.starting.room.document import FORMAT
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import TURNS, Placement

__all__ = ["plan_of", "read_drawn"]

FARTHEST_MM = 10_000_000  # ten kilometres: anything beyond is a slip


def read_drawn(path: Path) -> dict[str, Any]:
    """The document in a file.

    Raises
    ------
    Refused
        It can't be read, is no JSON, or another kind of document.
    """
    try:
        document = json.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        reason = error.strerror or str(error)
        raise Refused(Fault(str(path), f"it can't be read ({reason})", "name a JSON file")) from None
    except (ValueError, RecursionError) as error:
        raise Refused(Fault(str(path), f"this is not JSON: {error}", "save a plan with --json")) from None
    said = document.get("format") if isinstance(document, dict) else None
    if said != FORMAT:
        raise Refused(Fault(str(path), f"its format is {said!r}", f"name a document of format {FORMAT}"))
    assert isinstance(document, dict)
    return document


def plan_of(document: dict[str, Any], *, where: str) -> Plan:
    """Where a document says that everything stands; `where` names it for the faults.

    Raises
    ------
    Refused
        Every item whose place can't be read.
    """
    faults: list[Fault] = []
    items = document.get("items")
    if not isinstance(items, list):
        raise Refused(Fault(f"{where}, items", "there is no list of items", 'write "items": [{"id": …}]'))
    placements: dict[str, Placement] = {}
    for number, item in enumerate(items, 1):
        name = item.get("id") if isinstance(item, dict) else None
        if not isinstance(name, str) or not name:
            faults.append(Fault(f"{where}, items[{number}]", "it has no id", "give it the id of room.toml"))
            continue
        if name in placements:
            faults.append(Fault(f"{where}, {name}", "it stands there twice", "keep one of them"))
        if item.get("x_mm") is None and item.get("y_mm") is None:
            continue  # left out
        at = _placement(item, f"{where}, {name}", faults)
        if at is not None:
            placements[name] = at
    if faults:
        raise Refused(faults)
    listed = document.get("left_out")
    left_out = {
        str(entry["item"]): str(entry.get("because", ""))
        for entry in (listed if isinstance(listed, list) else [])
        if isinstance(entry, dict) and "item" in entry
    }
    return Plan(placements=placements, left_out=left_out)


def _placement(item: dict[str, Any], where: str, faults: list[Fault]) -> Placement | None:
    numbers = []
    for key, default in (("x_mm", None), ("y_mm", None), ("turned_deg", 0)):
        value = item.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float) or not _whole(value):
            faults.append(Fault(f"{where}.{key}", f"{value!r} is no whole number", "write one, as in 1700"))
        else:
            numbers.append(int(value))
    if len(numbers) < 3:
        return None
    x, y, turn = numbers
    if turn not in TURNS:
        faults.append(Fault(f"{where}.turned_deg", f"{turn}° is no quarter turn", "write 0, 90, 180 or 270"))
        return None
    return Placement(x_mm=x, y_mm=y, turned_deg=turn)


def _whole(number: float) -> bool:
    """True for a whole number of millimetres that a room on this earth can have."""
    return abs(number) <= FARTHEST_MM and number == int(number)
