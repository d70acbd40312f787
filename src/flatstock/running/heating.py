"""Platens on their way to a set-point, in words: when they are there, and when the first mould may go in."""

from __future__ import annotations

from datetime import datetime, tzinfo

from flatstock.running.courses import Warming
from flatstock.running.words import clock_up, degrees

__all__ = ["WAIT", "cold_words", "heating_words", "not_ready", "ready_to_load"]

#: what is done instead of laying a mould into a press that heats up
WAIT = "leave the mould out until then; if the platens read more, note what they read"


def ready_to_load(warming: Warming, at: datetime) -> bool:
    """Whether the first mould may go in at an instant."""
    return warming.ready is not None and warming.ready <= at


def cold_words(warming: Warming, zone: tzinfo, *, now: datetime) -> str:
    """Why no mould is laid in yet: where the platens stand, what they are set to, and when they are ready."""
    stand = "" if warming.reaches is not None and warming.reaches <= now else _stand(warming)
    return f"{stand}{heating_words(warming, zone, now=now)}"


def _stand(warming: Warming) -> str:
    how = "reckoned on from what they read" if warming.measured else "reckoned from when its heaters went on"
    return f"its platens are at about {degrees(warming.platens)} ({how}); "


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
