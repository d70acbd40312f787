"""Open a workshop for a call, and settle what time it is there."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.cli import times
from flatstock.workshop.shop import Workshop

__all__ = ["check_now", "opened"]


def opened(folder: Path, now: str | None) -> tuple[Workshop, datetime]:
    """The workshop in `folder`, and the moment that this call takes for now."""
    shop = open_workshop(folder)
    return shop, times.now(now, zone=zone_of(shop), today=shop.today)


def check_now(now: str | None) -> None:
    """Raises `WrongWords` where `now` is no time; for calls whose answer does not depend on it."""
    times.now(now, zone=UTC, today=None)
