"""Open a workshop for a call, and settle what time it is there."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from flatstock import times
from flatstock.actions.living import hand_changes, records_of
from flatstock.actions.workshops import Beside, hand_change_words, open_workshop, shop_beside, zone_of
from flatstock.cli import show
from flatstock.prints.saying import saying_of
from flatstock.workshop.shop import Workshop

if TYPE_CHECKING:
    from flatstock.web.workplace import Workplace

__all__ = ["check_now", "opened", "starting_up", "tell_of_records"]


def opened(folder: Path, now: str | None) -> tuple[Workshop, datetime]:
    """The workshop in `folder`, and the moment that this call takes for now."""
    show.in_units_of(folder)
    shop = open_workshop(folder)
    show.said_by(saying_of(shop))
    _tell_of_form(folder, shop)
    return shop, times.now(now, zone=zone_of(shop), today=shop.today)


def starting_up(folder: Path, now: str | None) -> tuple[Beside, datetime]:
    """The shop.toml in `folder`, which may still be missing, and the moment that this call takes for now."""
    show.in_units_of(folder)
    beside = shop_beside(folder)
    shop = beside[0]
    if shop is not None:
        show.said_by(saying_of(shop))
        _tell_of_form(folder, shop)
    zone, today = (zone_of(shop), shop.today) if shop else (UTC, None)
    return beside, times.now(now, zone=zone, today=today)


def _tell_of_form(folder: Path, shop: Workshop) -> None:
    """Which form of the workshop was read, and what of the other is left unread."""
    if shop.form != "records":
        return
    show.aside("Read from the workshop's records, not from its files.")
    for one in hand_changes(folder):
        show.aside(f"  ! {hand_change_words(one)}")


def tell_of_records(place: Workplace) -> None:
    """Begin the records of the folder that the app is opened on, where a workshop is, and say what became of it."""
    if not place.started:
        return
    fresh = records_of(place.folder) is None
    if place.living() is None:
        show.aside(f"Records could not be begun: {place.trouble} Until then the app reads the files.")
        return
    if fresh:
        show.aside(
            "Records begun from the files, in records.db beside them; from now on they are what counts."
        )
    for one in place.hand_changes():
        show.aside(f"  ! {hand_change_words(one)}")


def check_now(now: str | None) -> None:
    """Raises `WrongWords` where `now` is no time; for calls whose answer does not depend on it."""
    times.now(now, zone=UTC, today=None)
