"""Calls to the heaters: the plan has them on, at another set-point or off, and nobody has told it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Literal

from flatstock.running.danger import Heat
from flatstock.running.rules_people import HOT
from flatstock.running.sheets import Setting
from flatstock.running.situation import Situation
from flatstock.running.start_checks import start_checks
from flatstock.running.view import Call
from flatstock.running.words import clock, degrees

__all__ = ["heater_calls"]

_BEFORE = ("planned", "weighed", "prepared")  # stages before the hot press
NEAR = 1.0  #: K: two set-points as near as this are one


def heater_calls(now: Situation, *, early: timedelta) -> Iterator[Call]:
    """What is to be done to the heaters now, or within `early`.

    Nothing while a mould is in the press, or where nobody is here who may watch them.
    """
    if not now.people.there(now.now, skill=HOT):
        return
    for press, heat in now.heats.items():
        if now.inside(press):
            continue
        own = [one for one in now.settings if one.press == press]
        since = [one for one in own if one.at <= now.now]
        told = _last_told(heat)
        if since and (told is None or told < since[-1].at) and (words := _words(since[-1], heat, now)):
            yield _call("due", since[-1], f"{words} now: 1 person")
        coming = next((one for one in own if now.now < one.at <= now.now + early), None)
        if coming is not None and (words := _words(coming, heat, now)):
            yield _call("early", coming, f"{words} at {clock(coming.at, now.zone)}: 1 person")


def _last_told(heat: Heat) -> datetime | None:
    """When somebody last switched them or set them anew: what was told after the plan's time is somebody's decision."""
    told = [at for at, _ in heat.points]
    return max([*told, heat.since] if heat.since is not None else told, default=None)


def _call(kind: Literal["early", "due"], of: Setting, words: str) -> Call:
    name = f"{kind} heaters {of.press} {of.at.isoformat()}"
    return Call(id=name, kind=kind, at=of.at, words=words, people=1, place=of.press)


def _words(of: Setting, heat: Heat, now: Situation) -> str:
    """What is to be done; empty: it is as planned, or not the time for it."""
    if of.to is None:
        return f"Heaters of {of.press} off at the isolator" if heat.on and not _still_to_load(of, now) else ""
    if heat.on:
        other = heat.set_point is not None and abs(heat.set_point - of.to) >= NEAR
        return f"{of.press} to {degrees(of.to)}" if other else ""
    checked = start_checks(now.events, now.now, now.zone)
    if checked is not None and checked.facts.get("wrong"):
        return ""  # they stay off until it is put right
    first = "Heaters" if checked is not None else "Start checks, then heaters"
    return f"{first} of {of.press} on, {degrees(of.to)}"


def _still_to_load(of: Setting, now: Situation) -> bool:
    """Whether a sheet of the same day that is planned before the heaters go off is not in the press yet."""
    day = of.at.astimezone(now.zone).date()
    for sheet in now.sheets.values():
        load, track = sheet.tasks.get("load"), now.tracks.get(sheet.id)
        if load is None or of.press not in load.places or (track is not None and track.stage not in _BEFORE):
            continue
        if load.start < of.at and load.start.astimezone(now.zone).date() == day:
            return True
    return False
