"""When a press that heats is at its set-point and soaked, so that the first mould may go in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from math import isfinite

from flatstock.pressing.platens import temperature_after, time_between
from flatstock.running.courses import Warming
from flatstock.running.danger import Heat
from flatstock.running.stays import Stay
from flatstock.workshop.shop import HotPress, Workshop

__all__ = ["warming_of"]

LONGEST = timedelta(days=7)  #: of what was told, looked back at: no platen is warm for longer


def warming_of(
    shop: Workshop, stays: Sequence[Stay], heats: Mapping[str, Heat], *, now: datetime
) -> dict[str, Warming]:
    """By press; one whose set-point nobody told, or that took a mould since, is left out.

    The platens are followed from room temperature through every switching on and off that was told, and from each
    temperature that was measured; the soak counts from the set-point.
    """
    found = {}
    for name, heat in heats.items():
        press = shop.hot_presses.get(name)
        if press is None or not heat.on or heat.since is None or heat.set_point is None:
            continue
        since = max([heat.since, *(at for at, _ in heat.points)])
        if any(stay.place == name and stay.since >= since for stay in stays):
            continue  # a mould went in: it was ready then
        found[name] = _warming(press, heat, room=shop.room.value, soak=shop.practice.soak_time, now=now)
    return found


def _warming(press: HotPress, heat: Heat, *, room: float, soak: float, now: datetime) -> Warming:
    assert heat.set_point is not None
    at, there, on, point = now, room, False, heat.set_point
    arrived: datetime | None = None  #: at the set-point that holds now
    for n, (moment, what, value) in enumerate(_told(heat, now)):
        if n == 0 and what == "off":
            there = point  # it was hot before anything was told of it
        if at < moment:
            there, arrived = _on(press, at, moment, there, arrived, point if on else None, room)
        at = moment
        if what == "read":
            there, arrived = value, arrived if value >= point - NEAR else None
        elif what == "point":
            arrived = None if abs(value - point) > NEAR else arrived
            on, point = True, value
        else:
            on = what == "on"
            arrived = None
    reaches = arrived
    if arrived is None:
        left = time_between(press, there, point, room=room) if there != point else 0.0
        reaches = at + timedelta(seconds=left) if isfinite(left) else None
    there, _ = _on(press, at, now, there, arrived, point, room)
    return Warming(
        set_point=point,
        platens=there,
        reaches=reaches,
        ready=None if reaches is None else reaches + timedelta(seconds=soak),
        measured=any(moment == at for moment, _ in heat.reads),
    )


NEAR = 5.0  #: °C: a platen that reads within it is at its set-point; our own figure, as thermostats swing


def _on(
    press: HotPress,
    start: datetime,
    end: datetime,
    there: float,
    arrived: datetime | None,
    point: float | None,
    room: float,
) -> tuple[float, datetime | None]:
    """The platens at `end`, and since when they are at the set-point; `point` None: the heaters are off."""
    seconds = (end - start).total_seconds()
    if point is None:
        return temperature_after(press, there, seconds, heaters=False, room=room), None
    needs = time_between(press, there, point, room=room) if there != point else 0.0
    if needs <= seconds:
        return point, arrived or start + timedelta(seconds=needs)
    return temperature_after(press, there, seconds, heaters=there < point, room=room), None


def _told(heat: Heat, now: datetime) -> Iterator[tuple[datetime, str, float]]:
    """What was told of a press's heat, in order: switched on, off, set to, read."""
    told = [(at, "point", value) for at, value in heat.points]
    told += [(at, "read", value) for at, value in heat.reads]
    for off, on in heat.cuts:
        told.append((off, "off", 0.0))
        if on is not None and on not in {at for at, _ in heat.points}:
            told.append((on, "on", 0.0))
    order = ("off", "on", "point", "read")
    yield from sorted(
        (one for one in told if now - LONGEST <= one[0] <= now), key=lambda one: (one[0], order.index(one[1]))
    )
