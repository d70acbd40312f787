"""Instants, spans and temperatures as the floor says them."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo
from math import ceil, floor

from flatstock import times

__all__ = ["clock", "clock_up", "core_words", "degrees", "kilograms", "minute_up", "minutes", "named"]


def clock(at: datetime, zone: tzinfo, *, beside: datetime | None = None) -> str:
    """Hour and minute on the shop's clock, seconds dropped; with the weekday where it is not the day of `beside`.

    >>> from datetime import UTC
    >>> clock(datetime(2026, 3, 3, 9, 25, tzinfo=UTC), UTC, beside=datetime(2026, 3, 2, 10, 52, tzinfo=UTC))
    'Tue 09:25'
    """
    return times.clock(at.astimezone(zone), beside=None if beside is None else beside.astimezone(zone))


def clock_up(at: datetime, zone: tzinfo, *, beside: datetime | None = None) -> str:
    """As `clock`, of the next whole minute: for what must not come earlier."""
    return clock(minute_up(at), zone, beside=beside)


def minute_up(at: datetime) -> datetime:
    """The whole minute that is not earlier."""
    return (at + timedelta(seconds=59, microseconds=999_999)).replace(second=0, microsecond=0)


def minutes(span: timedelta) -> int:
    """Whole minutes, part of a minute dropped."""
    return floor(span.total_seconds() / 60)


def degrees(temperature: float, *, up: bool = False) -> str:
    """Whole degrees; `up` for what must not be shown cooler than it is.

    >>> degrees(90.2, up=True)
    '91 °C'
    """
    return f"{ceil(temperature - 1e-9) if up else round(temperature)} °C"


def kilograms(mass: float) -> str:
    """A mass to be weighed, to the gram: a charge is never right to less, however fine its scale.

    >>> kilograms(5.6729), kilograms(11.74)
    ('5.673 kg', '11.74 kg')
    """
    return f"{round(mass, 3):.10g} kg"


def named(ids: tuple[str, ...] | list[str]) -> str:
    """A list in words.

    >>> named(("OP1", "OP2"))
    'OP1 and OP2'
    """
    return " and ".join(([", ".join(ids[:-1])] if len(ids) > 1 else []) + list(ids[-1:]))


def core_words(core: float, limit: float, *, hot: bool, closed: bool) -> str:
    """Where a core stands [°C] against what it needs or may have, behind what is said of its mould.

    A mould that has melted through and stays closed all the same was cut off from its heat: what it lacks is said.

    >>> core_words(119.0, 165.0, hot=True, closed=True), core_words(104.2, 90.0, hot=False, closed=True)
    (': core 119 °C, needs 165 °C', ': core 105 °C, limit 90 °C')
    >>> core_words(191.0, 165.0, hot=True, closed=True)
    ': core 191 °C has melted; breathing and full pressure are still to come'
    """
    if hot and closed and core >= limit:
        return f": core {degrees(core)} has melted; breathing and full pressure are still to come"
    return f": core {degrees(core, up=not hot)}, {'needs' if hot else 'limit'} {degrees(limit)}"
