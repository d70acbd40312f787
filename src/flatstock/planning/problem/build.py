"""A workshop's files and its forecasts, as the week to be planned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from importlib.resources import files
from math import ceil, floor, inf
from typing import Protocol

import toml_rs

from flatstock.errors import Fault, Refused
from flatstock.planning.problem.clock import Clock, Span
from flatstock.planning.problem.week import HOT, Dwell, Kind, Load, Person, Sheet, Site, Times, Week
from flatstock.workshop.currents import amps_per_phase
from flatstock.workshop.shop import Frame, Order, Skin, Workshop

__all__ = ["Forecasts", "Recipe", "set_out"]

KWH = 3.6e6


class Recipe(Protocol):
    """What physics says of one kind of sheet on one press; seconds, kg, °C (`pressing.forecast`)."""

    @property
    def plastic(self) -> str:
        """Id."""

    @property
    def charge(self) -> float:
        """Weighed [kg]."""

    @property
    def weigh(self) -> Mapping[str, float]:
        """By lot [kg]."""

    @property
    def set_point(self) -> float:
        """[°C]"""

    @property
    def dwell(self) -> float:
        """The coldest point reaches its target [s]."""

    @property
    def advised(self) -> float:
        """Of the shop's card [s]."""

    @property
    def latest(self) -> float | None:
        """Early end of its band [s]."""

    @property
    def frame(self) -> str:
        """Id."""

    @property
    def skin(self) -> str:
        """Id of a pair."""

    @property
    def mould_mass(self) -> float:
        """Loaded [kg]."""

    @property
    def press_cool(self) -> Mapping[str, float]:
        """By cooling press: until it may be opened [s]."""

    @property
    def cool_to_end(self) -> Mapping[str, float]:
        """By cooling press: until it may be demoulded [s]."""

    @property
    def rest(self) -> Mapping[str, float]:
        """By stack or rack: after press_cool, until it may be demoulded [s]."""

    @property
    def energy(self) -> float:
        """Of the heaters [J]."""

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the card says."""


class Forecasts(Protocol):
    """The physics that a plan rests on."""

    def recipe(self, order: Order, press: str) -> Recipe:
        """One order's sheets on one press. Raises `Refused` with the reasons."""

    def between(self, press: str, start: float, end: float) -> float:
        """Seconds in which empty platens go from one temperature to another."""

    def hold(self, press: str, temperature: float) -> float:
        """What an empty press takes to stay at a temperature [W]."""


@dataclass(frozen=True, slots=True)
class _Floor:
    sites: dict[str, Site]
    warnings: list[str]


def set_out(shop: Workshop, physics: Forecasts, *, zone: tzinfo, start: datetime, weeks: int = 1) -> Week:
    """The week from `start` on: to the last hour anybody is there in that calendar week, or `weeks` of them.

    Raises `Refused` where nothing can be planned at all. An order that can't be pressed stands in `unplaced`.
    """
    origin = start.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    clock = Clock(origin, zone)
    now = clock.minute(start, up=True)
    monday = origin.date() - timedelta(days=origin.weekday())
    people, closing = _people(shop, clock, monday, now, 1)
    while closing is None and weeks < 3:
        weeks += 1
        people, closing = _people(shop, clock, monday, now, weeks)
    if closing is None:
        raise Refused(
            Fault("shop.toml, people", "nobody is there this week or the next two", "write their hours")
        )
    people, end = _people(shop, clock, monday, now, weeks)
    assert end is not None
    floor_ = _sites(shop)
    _needed(floor_.sites, people)
    kinds, unplaced, warnings = _kinds(shop, physics)
    times = _times(shop)
    used = sorted({kind.key: kind for kind in kinds.values()}.values(), key=lambda kind: kind.key)
    presses = [site.id for site in floor_.sites.values() if site.kind == "hot_press"]
    points = {(p, k.dwell[p].set_point) for k in used for p in presses if p in k.dwell}
    ramps = _ramps(physics, points, times.settle)
    cleans = {(a.key, b.key): _clean(shop, a.colour, b.colour) for a in used for b in used if a is not b}
    return Week(
        shop=shop.name,
        clock=clock,
        start=now,
        end=end,
        closing=closing,
        times=times,
        people=tuple(people),
        sheets=tuple(_sheets(shop, kinds, clock)),
        sites=floor_.sites,
        frames={frame.id: frame.thickness * 1e3 for frame in shop.frames.values()},
        skins=tuple(skin.id for skin in shop.skins.values() if skin.fit_for_use),
        lots={lot.id: lot.mass for lot in shop.lots.values() if lot.status == "released"},
        heat_up={
            (p, sp): _minutes(physics.between(p, shop.room.value, sp)) for p, sp in points
        },
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
        loads=_loads(shop),
        rated=None if shop.supply is None else shop.supply.rated,
        heat_cost={p: _heat_cost(physics, shop, p, [sp for q, sp in points if q == p]) for p in presses},
        warnings=tuple(floor_.warnings + warnings),
        unplaced=unplaced,
    )  # fmt: skip


def _minutes(seconds: float) -> int:
    """Whole minutes, upwards."""
    return ceil(seconds / 60 - 1e-9)


def _times(shop: Workshop) -> Times:
    p = shop.practice
    return Times(
        weigh=_minutes(p.weigh_time), prepare=_minutes(p.prepare_time), load=_minutes(p.load_time),
        transfer=_minutes(p.transfer_time), move=_minutes(p.move_time), demould=_minutes(p.demould_time),
        trim=_minutes(p.trim_time), soak=_minutes(p.soak_time), settle=_minutes(p.settle_time),
    )  # fmt: skip


def _people(
    shop: Workshop, clock: Clock, monday: date, now: int, weeks: int
) -> tuple[list[Person], int | None]:
    """Everybody with their hours from now on, and the last minute anybody is there."""
    found, last = [], None
    days = [monday + timedelta(days=n) for n in range(7 * weeks)]
    for person in shop.people.values():
        spans: list[Span] = []
        for stay in person.presence:
            hours = [stay.start, stay.end]
            if stay.lunch_start is not None and stay.lunch_end is not None:
                hours = [stay.start, stay.lunch_start, stay.lunch_end, stay.end]
            for day in days:
                if day.weekday() in stay.weekdays:
                    edges = [clock.minute(datetime.combine(day, hour, clock.zone)) for hour in hours]
                    spans += [Span(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]
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
        add(rack.id, "rack", rack.moulds_max)
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
                "loading and transfer need two different people with the skill hot_transfer, and there are fewer",
                "write who is trained, or train a second person first",
            )
        )
    if faults:
        raise Refused(faults)


def _kinds(
    shop: Workshop, physics: Forecasts
) -> tuple[dict[str, Kind], dict[str, tuple[str, ...]], list[str]]:
    """The kind of each order's sheets, the orders that can't be pressed, and what was said on the way."""
    kinds: dict[str, Kind] = {}
    unplaced: dict[str, tuple[str, ...]] = {}
    said: list[str] = []
    known: dict[tuple[object, ...], Kind | tuple[str, ...]] = {}
    for order in shop.orders.values():
        key = (
            order.plastic.lower(),
            order.colour,
            round(order.thickness, 6),
            tuple(sorted(order.lots.items())),
        )
        if key not in known:
            known[key] = _kind(shop, physics, order, said)
        found = known[key]
        if isinstance(found, Kind):
            kinds[order.id] = found
        else:
            unplaced[order.id] = found
    return kinds, unplaced, said


def _kind(shop: Workshop, physics: Forecasts, order: Order, said: list[str]) -> Kind | tuple[str, ...]:
    recipes: dict[str, Recipe] = {}
    reasons: list[str] = []
    for press in shop.hot_presses:
        try:
            recipes[press] = physics.recipe(order, press)
        except Refused as no:
            reasons += [fault.sentence() for fault in no.faults]
    if not recipes:
        return tuple(dict.fromkeys(reasons))
    one = next(iter(recipes.values()))
    said += [f"{order.id}: {words}" for words in one.warnings]
    rest = {place: _minutes(s) for place, s in one.rest.items() if s < inf}
    return Kind(
        key=f"{one.plastic} {order.colour or ''} {order.thickness * 1e3:g} {' '.join(sorted(one.weigh))}",
        plastic=one.plastic,
        colour=order.colour,
        thickness=round(order.thickness * 1e3, 6),
        charge=one.charge,
        lots=dict(one.weigh),
        mould_mass=one.mould_mass,
        frames=_like_frame(shop, shop.frames[one.frame]),
        skins=_like_skin(shop, shop.skins[one.skin]),
        dwell={
            press: Dwell(
                set_point=recipe.set_point,
                least=_minutes(recipe.dwell),
                planned=_minutes(recipe.advised),
                latest=None
                if recipe.latest is None
                else max(floor(recipe.latest / 60), _minutes(recipe.advised)),
            )
            for press, recipe in recipes.items()
        },
        press_cool={
            place: _minutes(max(r.press_cool[place] for r in recipes.values())) for place in one.press_cool
        },
        cool_to_end={place: _minutes(s) if s < inf else 10**5 for place, s in one.cool_to_end.items()},
        rest=rest,
        energy=one.energy / KWH,
    )


def _like_frame(shop: Workshop, frame: Frame) -> tuple[str, ...]:
    """Every frame that is the same but for its number."""
    measures = ("thickness", "cavity_length", "cavity_width", "outside_length", "outside_width")
    return tuple(
        other.id
        for other in shop.frames.values()
        if all(abs(getattr(other, m) - getattr(frame, m)) < 1e-6 for m in measures)
    )


def _like_skin(shop: Workshop, skin: Skin) -> tuple[str, ...]:
    """Every fit pair of skins that is the same but for its number."""
    return tuple(
        other.id
        for other in shop.skins.values()
        if other.fit_for_use
        and all(abs(getattr(other, m) - getattr(skin, m)) < 1e-6 for m in ("length", "width", "thickness"))
    )


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
                condition=_minutes(rest),
            )
            for number in range(1, order.sheets + 1)
        ]
    return sorted(found, key=lambda sheet: sheet.id)


def _ramps(
    physics: Forecasts, points: set[tuple[str, float]], settle: int
) -> dict[tuple[str, float, float], int]:
    return {
        (p, a, b): _minutes(physics.between(p, a, b)) + settle
        for p, a in points
        for q, b in points
        if p == q and a != b
    }


def _clean(shop: Workshop, before: str | None, after: str | None) -> int:
    """Between two colours: little from light to dark, more the other way or where a colour is not listed."""
    if before == after:
        return 0
    shades: dict[str, float] = toml_rs.loads(
        (files("flatstock.planning") / "data" / "shades.toml").read_text("utf-8")
    )["shade"]
    dark = [shades.get(word) if word else None for word in (before, after)]
    p = shop.practice
    if dark[0] is not None and dark[1] is not None and dark[0] < dark[1]:
        return _minutes(p.clean_light_to_dark)
    return _minutes(p.clean_dark_to_light)


def _loads(shop: Workshop) -> tuple[Load, ...]:
    if shop.supply is None:
        return ()
    made = []
    for load in shop.supply.loads:
        amps = [round(a, 3) for a in amps_per_phase(load, shop.supply)]
        full = (*amps, 0.0, 0.0)[:3]
        made.append(Load(id=load.id, amps=(full[0], full[1], full[2]), on_during=frozenset(load.on_during)))
    return tuple(sorted(made, key=lambda load: load.id))


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
