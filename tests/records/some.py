"""Things of a made-up shop, with what a test leaves open filled in."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from flatstock.records import Store, lots
from flatstock.running.event import Event

MONDAY = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)


def an_event(name: str = "E-1", **changes: Any) -> Event:
    """A mould is loaded at half past eight."""
    usual: dict[str, Any] = {
        "id": name,
        "at": MONDAY,
        "noted_at": MONDAY + timedelta(seconds=2),
        "kind": "loaded",
        "who": ("OP1", "OP2"),
        "sheet": "B-014",
        "place": "HP1",
        "facts": {"press": "HP1", "platen_C": 194.5, "dry": True, "note": "first of the day"},
        "device": "wall",
    }
    return Event(**usual | changes)


def a_lot(store: Store, name: str = "L-1", status: str = "released", mass: float = 100.0) -> str:
    """A lot of HDPE caps that is taken in."""
    row = {"id": name, "plastic": "hdpe", "colour": "dark", "origin": "packaging", "mass_kg": mass}
    with store.writing() as db:
        lots.begin(db, row, status, MONDAY, ["OP4"], "delivered")
    return name


def a_weighing(name: str = "W-1", lot: str = "L-1", mass: float = 11.74, **changes: Any) -> Event:
    """Flake for one sheet on the scale."""
    facts = {"lot": lot, "mass_kg": mass, "target_kg": 11.74}
    return an_event(name, **{"kind": "weighed", "place": None, "facts": facts} | changes)
