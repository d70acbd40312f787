"""Instants, spans and temperatures as the floor says them."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo
from math import ceil, floor

__all__ = ["clock", "clock_up", "degrees", "minute_up", "minutes", "minutes_up", "named"]


def clock(at: datetime, zone: tzinfo) -> str:
    """Hour and minute on the shop's clock, seconds dropped."""
    return f"{at.astimezone(zone):%H:%M}"


def clock_up(at: datetime, zone: tzinfo) -> str:
    """Hour and minute on the shop's clock, the next whole minute: for what must not come earlier."""
    return clock(minute_up(at), zone)


def minute_up(at: datetime) -> datetime:
    """The whole minute that is not earlier."""
    return (at + timedelta(seconds=59, microseconds=999_999)).replace(second=0, microsecond=0)


def minutes(span: timedelta) -> int:
    """Whole minutes, part of a minute dropped."""
    return floor(span.total_seconds() / 60)


def minutes_up(span: timedelta) -> int:
    """Whole minutes, part of a minute counted."""
    return ceil(span.total_seconds() / 60)


def degrees(temperature: float, *, up: bool = False) -> str:
    """Whole degrees; `up` for what must not be shown cooler than it is.

    >>> degrees(90.2, up=True)
    '91 °C'
    """
    return f"{ceil(temperature - 1e-9) if up else round(temperature)} °C"


def named(ids: tuple[str, ...] | list[str]) -> str:
    """A list in words.

    >>> named(("OP1", "OP2"))
    'OP1 and OP2'
    """
    return " and ".join(([", ".join(ids[:-1])] if len(ids) > 1 else []) + list(ids[-1:]))
