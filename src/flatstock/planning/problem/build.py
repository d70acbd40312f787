"""A workshop's files and its forecasts, as the week to be planned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, tzinfo
from functools import cache
from importlib.resources import files
from types import MappingProxyType

import toml_rs

from flatstock.errors import Fault, Refused
from flatstock.planning.problem.clock import Clock, Span
from flatstock.planning.problem.kinds import KWH, kinds_of, whole_minutes
from flatstock.planning.problem.physics import Forecasts
from flatstock.planning.problem.supply_loads import loads_of
from flatstock.planning.problem.week import HOT, Kind, Person, Sheet, Site, Times, Week
from flatstock.workshop.shop import Workshop

__all__ = ["set_out", "with_kinds"]


@dataclass(frozen=True, slots=True)
class _Floor:
    sites: dict[str, Site]
    warnings: list[str]


def set_out(
    shop: Workshop,
    physics: Forecasts,
    *,
    zone: tzinfo,
    start: datetime,
    weeks: int = 1,
    remembered: Mapping[tuple[object, ...], Kind | tuple[str, ...]] = MappingProxyType({}),
) -> Week:
    """The week from `start` on: to the last hour anybody is there in that calendar week, or `weeks` of them.

    A night belongs to the day on which it ends where it begins on a Sunday, else to the one on which it begins.

    `remembered`: by recipe of an order, kinds of sheet that were worked out before and still hold, or why it can't be
    pressed.

    Raises `Refused` where nothing can be planned at all. An order that can't be pressed stands in `unplaced`.
    """
    origin = start.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    clock = Clock(origin, zone)
    now = clock.minute(start, up=True)
    monday = origin.date() - timedelta(days=origin.weekday())
    closings = (_people(shop, clock, monday, now, ahead)[1] for ahead in (1, 2, 3))
    first, closing = next(((n, at) for n, at in enumerate(closings, 1) if at is not None), (1, None))
    if closing is None:
        raise Refused(
            Fault("shop.toml, people", "nobody is there this week or the next two", "write their hours")
        )
    people, end = _people(shop, clock, monday, now, max(weeks, first))
    assert end is not None
    floor_ = _sites(shop)
    _needed(floor_.sites, people)
    kinds, unplaced, warnings = kinds_of(shop, physics, remembered)
    times = _times(shop)
    used = sorted({kind.key: kind for kind in kinds.values()}.values(), key=lambda kind: kind.key)
    _fill_dryers(floor_.sites, used)
    heats = _heats(shop, physics, used, _presses(floor_.sites), times)
    return Week(
        shop=shop.name,
        clock=clock,
        start=now,
        now=now,
        end=end,
        closing=closing,
        times=times,
        people=tuple(people),
        sheets=tuple(_sheets(shop, kinds, clock)),
        sites=floor_.sites,
        frames={frame.id: frame.thickness * 1e3 for frame in shop.frames.values()},
        skins=tuple(skin.id for skin in shop.skins.values() if skin.fit_for_use),
        lots={lot.id: lot.mass for lot in shop.lots.values() if lot.status == "released"},
        heat_up=heats.heat_up,
        changes=heats.changes,
        ramps=heats.ramps,
        cleans=heats.cleans,
        loads=loads_of(shop),
        rated=None if shop.supply is None else shop.supply.rated,
        heat_cost={
            p: _heat_cost(physics, shop, p, [sp for q, sp in heats.heat_up if q == p])
            for p in _presses(floor_.sites)
        },
        warnings=tuple(floor_.warnings + warnings),
        unplaced=unplaced,
        two_person_lift=shop.practice.two_person_lift,
    )  # fmt: skip


def with_kinds(week: Week, shop: Workshop, physics: Forecasts, kinds: Iterable[Kind]) -> Week:
    """The week with what heating, changing and wiping take of these kinds too: of them nothing new is begun, but a
    mould may be in a press."""
    every = {kind.key: kind for kind in (*kinds, *(sheet.kind for sheet in week.sheets))}
    used = sorted(every.values(), key=lambda kind: kind.key)
    heats = _heats(shop, physics, used, _presses(week.sites), week.times)
    return replace(week, heat_up=heats.heat_up, changes=heats.changes, ramps=heats.ramps, cleans=heats.cleans)


@dataclass(frozen=True, slots=True)
class _Heats:
    """Minutes, keyed as in `Week`."""

    heat_up: dict[tuple[str, float], int]
    changes: dict[tuple[str, str, str], int]
    ramps: dict[tuple[str, float, float], int]
    cleans: dict[tuple[str, str], int]


def _presses(sites: Mapping[str, Site]) -> list[str]:
    return [site.id for site in sites.values() if site.kind == "hot_press"]


def _heats(
    shop: Workshop, physics: Forecasts, used: Sequence[Kind], presses: Sequence[str], times: Times
) -> _Heats:
    """What heating up takes, and between any two kinds the change of set-point and of colour."""
    points = {(p, k.dwell[p].set_point) for k in used for p in presses if p in k.dwell}
    ramps = _ramps(physics, points, times.settle)
    cleans = {(a.key, b.key): _clean(shop, a.colour, b.colour) for a in used for b in used if a is not b}
    return _Heats(
        heat_up={(p, sp): whole_minutes(physics.between(p, shop.room.value, sp)) for p, sp in points},
        changes={
            (p, a.key, b.key): ramps.get((p, a.dwell[p].set_point, b.dwell[p].set_point), 0)
            + cleans[a.key, b.key]
            for p in presses
            for a in used
            for b in used
            if a is not b and p in a.dwell and p in b.dwell
        },
        ramps=ramps,
        cleans=cleans,
    )


def _times(shop: Workshop) -> Times:
    p = shop.practice
    return Times(
        weigh=whole_minutes(p.weigh_time), prepare=whole_minutes(p.prepare_time), load=whole_minutes(p.load_time),
        transfer=whole_minutes(p.transfer_time), move=whole_minutes(p.move_time), demould=whole_minutes(p.demould_time),
        trim=whole_minutes(p.trim_time), soak=whole_minutes(p.soak_time), settle=whole_minutes(p.settle_time),
    )  # fmt: skip


def _people(
    shop: Workshop, clock: Clock, monday: date, now: int, weeks: int
) -> tuple[list[Person], int | None]:
    """Everybody with their hours from now on, and the last minute anybody is there."""
    found, last = [], None
    # a night that begins on the Sunday before goes on into this week, and that of its own Sunday into the next
    days = [monday + timedelta(days=n) for n in range(-1, 7 * weeks)]
    midnight = datetime.combine(days[-1] + timedelta(days=1), time(0), clock.zone)
    for person in shop.people.values():
        spans: list[Span] = []
        for stay in person.presence:
            for day in days:
                pieces = stay.spans(day, clock.zone)
                if not any(end > midnight for _, end in pieces):
                    spans += [Span(clock.minute(start), clock.minute(end)) for start, end in pieces]
        spans = sorted(Span(max(s.start, now), s.end) for s in spans if s.end > now)
        found.append(Person(id=person.id, skills=person.skills, present=tuple(spans)))
        if spans:
            last = max(spans[-1].end, last or 0)
    return found, last


def _sites(shop: Workshop) -> _Floor:
    sites: dict[str, Site] = {}
    warnings: list[str] = []

    def add(name: str, kind: str, capacity: int = 1, mass: float | None = None, **more: object) -> None:
        sites[name] = Site(id=name, kind=kind, capacity=capacity, mass_max=mass, more=more)

    for press in shop.hot_presses.values():
        add(press.id, "hot_press")
    for cooling in shop.cooling_presses.values():
        add(cooling.id, "cooling_press")
    for stack in shop.stacks.values():
        add(stack.id, "stack", stack.moulds_max, stack.mass_max, order="last_in_first_out")
    for rack in shop.racks.values():
        add(rack.id, "rack", rack.moulds_max, rack.mass_max)
    for place in shop.places.values():
        add(place.id, place.kind, max(1, place.capacity), place.load_max)
    for scale in shop.scales:
        add(scale.id, "scale", 1, scale.capacity)
    for kind, name in (("bench", "BENCH"), ("scale", "SCALE")):
        if not any(site.kind == kind for site in sites.values()):
            free = name if name not in sites else f"{name}-1"
            add(free, kind)
            warnings.append(f"No {kind} is on file: one is taken to be there, {free}.")
    return _Floor(sites, warnings)


def _fill_dryers(sites: dict[str, Site], kinds: Sequence[Kind]) -> None:
    """A dryer holds as many charges as its load has room for."""
    for site in list(sites.values()):
        charges = [kind.charge for kind in kinds if site.id in kind.dry]
        if charges and site.mass_max is not None:
            sites[site.id] = replace(site, capacity=max(1, int(site.mass_max // min(charges))))


def _needed(sites: Mapping[str, Site], people: Sequence[Person]) -> None:
    faults = [
        Fault("shop.toml", f"there is no {kind.replace('_', ' ')}", f"add one under {kind}es")
        for kind in ("hot_press", "cooling_press")
        if not any(site.kind == kind for site in sites.values())
    ]
    if sum(HOT in one.skills for one in people) < 2:
        faults.append(
            Fault(
                "shop.toml, people",
                "loading and transfer need two different people trained for hot transfers, and there are fewer",
                "write who is trained, or train a second person first",
            )
        )
    if faults:
        raise Refused(faults)


def _sheets(shop: Workshop, kinds: Mapping[str, Kind], clock: Clock) -> list[Sheet]:
    found = []
    for order in shop.orders.values():
        if order.id not in kinds:
            continue
        rest = shop.practice.condition if order.condition is None else order.condition
        found += [
            Sheet(
                id=f"{order.id}-{number:02d}",
                order=order.id,
                kind=kinds[order.id],
                due=None if order.due is None else clock.minute(order.due),
                condition=whole_minutes(rest),
            )
            for number in range(1, order.sheets + 1)
        ]
    return sorted(found, key=lambda sheet: sheet.id)


def _ramps(
    physics: Forecasts, points: set[tuple[str, float]], settle: int
) -> dict[tuple[str, float, float], int]:
    return {
        (p, a, b): whole_minutes(physics.between(p, a, b)) + settle
        for p, a in points
        for q, b in points
        if p == q and a != b
    }


def _clean(shop: Workshop, before: str | None, after: str | None) -> int:
    """Between two colours: little from light to dark, more the other way or where a colour is not listed."""
    if before == after:
        return 0
    dark = [_shades().get(word) if word else None for word in (before, after)]
    p = shop.practice
    if dark[0] is not None and dark[1] is not None and dark[0] < dark[1]:
        return whole_minutes(p.clean_light_to_dark)
    return whole_minutes(p.clean_dark_to_light)


@cache
def _shades() -> dict[str, float]:
    """How dark each colour is, by its word."""
    data = toml_rs.loads((files("flatstock.planning") / "data" / "shades.toml").read_text("utf-8"))
    shades: dict[str, float] = data["shade"]
    return shades


def _heat_cost(
    physics: Forecasts, shop: Workshop, press: str, points: Sequence[float]
) -> tuple[float, float]:
    """Heating up [kWh] and holding [kW], at the middle of the set-points in use."""
    if not points:
        return 0.0, 0.0
    middle = sum(points) / len(points)
    machine = shop.hot_presses[press]
    power = machine.power_bottom.value + machine.power_top.value
    return physics.between(press, shop.room.value, middle) * power / KWH, physics.hold(press, middle) / 1e3
