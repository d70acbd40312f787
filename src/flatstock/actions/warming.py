"""When a press that heats is at its set-point and soaked, so that the first mould may go in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import isfinite

from flatstock.pressing.platens import temperature_after, time_between
from flatstock.running.courses import Warming
from flatstock.running.danger import Heat
from flatstock.running.stays import Stay
from flatstock.workshop.shop import HotPress, Workshop

__all__ = ["platens_of", "warming_of"]

LONGEST = timedelta(days=7)  #: of what was told, looked back at: no platen is warm for longer


def warming_of(
    shop: Workshop, stays: Sequence[Stay], heats: Mapping[str, Heat], *, now: datetime
) -> dict[str, Warming]:
    """By press; one whose set-point nobody told, or that is ready and took a mould since, is left out."""
    found = {}
    for name, heat in heats.items():
        one = platens_of(shop, heat, stays, at=now)
        if one is None or not one.on:
            continue
        since = max(at for at in (heat.since, *(at for at, _ in heat.points)) if at is not None)
        ready = one.ready is not None and one.ready <= now
        if ready and any(stay.place == name and stay.since >= since for stay in stays):
            continue
        found[name] = one
    return found


def platens_of(shop: Workshop, heat: Heat, stays: Sequence[Stay], *, at: datetime) -> Warming | None:
    """A press's platens at an instant, by what was told until then; None: nobody told since when they are heated, or to
    what.

    They are followed from room temperature through every switching on and off, and from each temperature that was
    measured; heat that a mould takes is not counted. From a cold start they soak at the set-point, after another
    set-point they settle there (`soak_min`, `settle_min`).
    """
    press, then = shop.hot_presses.get(heat.press), _until(heat, at)
    if press is None or then.set_point is None or not then.points:
        return None
    return _warming(press, then, shop, now=at, hot_at_first=_by_a_mould(then, stays))


def _until(heat: Heat, at: datetime) -> Heat:
    """What was known of it at an instant."""
    points = tuple(one for one in heat.points if one[0] <= at)
    cuts = tuple(
        (off, back if back is not None and back <= at else None) for off, back in heat.cuts if off <= at
    )
    return replace(
        heat,
        on=bool(points or cuts) and not (cuts and cuts[-1][1] is None),
        set_point=points[-1][1] if points else heat.set_point,
        reads=tuple(one for one in heat.reads if one[0] <= at),
        cuts=cuts,
        points=points,
    )


def _by_a_mould(heat: Heat, stays: Sequence[Stay]) -> bool:
    """Whether a mould that was laid in is the first to say that its heaters are on: it says that it is hot."""
    return any(stay.place == heat.press and stay.hot and stay.since == heat.points[0][0] for stay in stays)


def _warming(press: HotPress, heat: Heat, shop: Workshop, *, now: datetime, hot_at_first: bool) -> Warming:
    assert heat.set_point is not None
    room, soak, settle = shop.room.value, shop.practice.soak_time, shop.practice.settle_time
    at, there, on, point = now, room, False, heat.set_point
    arrived: datetime | None = None  #: at the set-point that holds now
    stands = soak  #: s at it before the first mould
    for n, (moment, what, value) in enumerate(_told(heat, now)):
        if n == 0 and (what == "off" or hot_at_first):  # it was hot before anything was told of it
            there, arrived, on, point = heat.points[0][1], moment - LONGEST, True, heat.points[0][1]
        if at < moment:
            there, arrived = _on(press, at, moment, there, arrived, point if on else None, room)
        at = moment
        if arrived is not None and (at - arrived).total_seconds() >= stands:
            stands = settle  # it is soaked through: another set-point, or a dip, needs no more than that
        if what == "read":
            there, arrived = value, arrived if value >= point - NEAR else None
        elif what == "point":
            arrived = None if abs(value - point) > SAME or not on else arrived
            on, point = True, value
        else:
            on, arrived, stands = what == "on", None, soak
    reaches = arrived
    if arrived is None:
        left = time_between(press, there, point, room=room) if abs(there - point) > NEARLY else 0.0
        reaches = at + timedelta(seconds=left) if isfinite(left) else None
    there, _ = _on(press, at, now, there, arrived, point if on else None, room)
    return Warming(
        on=on,
        set_point=point,
        platens=there,
        reaches=reaches if on else None,
        ready=None if reaches is None or not on else reaches + timedelta(seconds=stands),
        measured=any(moment == at for moment, _ in heat.reads),
    )


NEARLY = 0.01  #: K
SAME = 1.0  #: K: two set-points as near as this are one
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
