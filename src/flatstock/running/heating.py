"""Platens on their way to a set-point, in words: when they are there, and when the first mould may go in."""

from __future__ import annotations

from datetime import datetime, tzinfo

from flatstock.running.courses import Warming
from flatstock.running.words import clock_up, degrees

__all__ = ["heating_words", "not_ready"]


def heating_words(warming: Warming, zone: tzinfo, *, now: datetime) -> str:
    """One sentence without its end: "at 185 °C about 08:41, ready to load about 08:52"."""
    point = degrees(warming.set_point)
    if warming.reaches is None or warming.ready is None:
        return f"its heaters can't bring it to {point}"
    there, soaked = (clock_up(at, zone, beside=now) for at in (warming.reaches, warming.ready))
    if now < warming.reaches:
        return f"at {point} about {there}, ready to load about {soaked}"
    if now < warming.ready:
        return f"at {point} since about {there}, soaking: ready to load about {soaked}"
    return f"at {point} and soaked since about {soaked}: ready to load"


def not_ready(place: str, warming: Warming | None, zone: tzinfo, *, now: datetime) -> str:
    """Why nothing is laid into it yet; empty: it is ready, or nothing is known of it."""
    if warming is None or (warming.ready is not None and warming.ready <= now):
        return ""
    return f"{place} {heating_words(warming, zone, now=now)}".replace(f"{place} its", f"{place}: its")
