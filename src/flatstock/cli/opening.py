"""Open a workshop for a call, and settle what time it is there."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from flatstock import times
from flatstock.actions.workshops import Beside, open_workshop, shop_beside, zone_of
from flatstock.cli import show
from flatstock.workshop.shop import Workshop

__all__ = ["check_now", "opened", "starting_up"]


def opened(folder: Path, now: str | None) -> tuple[Workshop, datetime]:
    """The workshop in `folder`, and the moment that this call takes for now."""
    shop = open_workshop(folder)
    if shop.form == "records":
        show.aside("Read from the workshop's records, not from its files.")
    return shop, times.now(now, zone=zone_of(shop), today=shop.today)


def starting_up(folder: Path, now: str | None) -> tuple[Beside, datetime]:
    """The shop.toml in `folder`, which may still be missing, and the moment that this call takes for now."""
    beside = shop_beside(folder)
    shop = beside[0]
    zone, today = (zone_of(shop), shop.today) if shop else (UTC, None)
    return beside, times.now(now, zone=zone, today=today)


def check_now(now: str | None) -> None:
    """Raises `WrongWords` where `now` is no time; for calls whose answer does not depend on it."""
    times.now(now, zone=UTC, today=None)
