"""Things of a made-up shop, with what a test leaves open filled in."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

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
