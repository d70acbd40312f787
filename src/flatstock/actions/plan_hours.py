"""When somebody is there again: a sheet that is ready at night can be handed over in the morning."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

from flatstock.workshop.shop import Workshop

__all__ = ["somebody_there"]

DAYS = 14  #: that are looked at


def somebody_there(shop: Workshop, moment: datetime, *, zone: tzinfo) -> datetime | None:
    """The first minute from a moment on at which anybody of the shop is there; None: nobody within two weeks."""
    local = moment.astimezone(zone)
    starts: list[datetime] = []
    for day in (local.date() + timedelta(days=n) for n in range(-1, DAYS)):
        stays = [stay for person in shop.people.values() for stay in person.presence]
        starts += [max(local, a) for stay in stays for a, b in stay.spans(day, zone) if b > local]
        if starts:
            break
    found = min(starts, default=None)
    return None if found is None else found.replace(second=0, microsecond=0)
