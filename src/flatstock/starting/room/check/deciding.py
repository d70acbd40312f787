"""What no rule of the room forbids, but what somebody other than this tool has to decide; each names its rule."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from math import hypot, log10

from flatstock.starting.equipment import classes, equipment
from flatstock.starting.room.check.overhead import overhead
from flatstock.starting.room.move_in import passage
from flatstock.starting.room.plan import Caveat, Plan
from flatstock.starting.room.question import Item, Question
from flatstock.starting.room.rectangles import Rect, gap, gap_reaches
from flatstock.starting.room.skate import way_in
from flatstock.starting.room.walls import walls_of
from flatstock.starting.room.ways import Ways
from flatstock.starting.room.words import metres

__all__ = ["caveats", "floor_pressure"]

GRAVITY = 9.81  # [m/s2]
NEARLY = 0.8  # how alike two names of classes are that may be one
NEAR_LIMIT = 0.9  # of the longest way out
SINGLE_EXIT_MM = 12_000  # English guidance, higher fire risk, one direction only
SEVERAL_EXITS_MM = 25_000  # the same, several directions
PANEL_DEEP_MM, PANEL_WIDE_MM = 914, 762  # NEC 110.26: 3 ft deep, 30 in wide, up to 150 V to ground
SIDE_BY_SIDE_MM = 1_200  # two people: common practice, no source
FLAKE_TO_HEAT_MM = 1_500  # common practice, no source
HEAD_MM, HEAD_LEAST_MM = 2_100, 2_000  # ASR A1.8 (2022)
LOUD_DB = 80.0  # lower action value, 2003/10/EC


def floor_pressure(mass_kg: float, area_mm2: float) -> float:
    """Pressure of a mass spread over a footprint [kN/m2].

    >>> round(floor_pressure(1450, 1700 * 1300), 3)
    6.436
    """
    return mass_kg * GRAVITY / area_mm2 * 1e3


def caveats(question: Question, plan: Plan, ways: Ways) -> list[Caveat]:
    """Every warning about a plan, sorted by its code and its item."""
    there = [item for item in question.items if item.id in plan.placements]
    found = [*_head(question), *_exit_distance(question, plan, ways)]
    found += _floors(question, there)
    for item in question.items:
        found += _class(item)
    for item in there:
        found += overhead(question, item, plan.placements[item.id])
        found += _panel(item)
        found += _two_people(item)
        found += _near_heat(question, plan, item)
        found += _noise(question, plan, item)
        found += _moves(question, item)
        found += _skate(question, plan, item)
        found += _typical(item)
    return sorted(found)


def _floors(question: Question, there: list[Item]) -> Iterator[Caveat]:
    rating = question.room.floor_kN_m2
    decides = "a structural engineer decides (spreader plates, feet, where the beams run)"
    weighed = [(item, item.mass_kg) for item in there if item.mass_kg is not None]
    if rating is None and weighed:
        item, mass = max(
            weighed, key=lambda pair: floor_pressure(pair[1], pair[0].length_mm * pair[0].width_mm)
        )
        most = floor_pressure(mass, item.length_mm * item.width_mm)
        text = f"what the floor was built for is not known; {item.id} puts {most:.2f} kN/m² on its footprint: {decides}"
        yield Caveat("floor_unknown", item.id, text)
    for item, mass in weighed if rating is not None else ():
        pressure = floor_pressure(mass, item.length_mm * item.width_mm)
        if rating is not None and pressure > rating:
            wanted = mass * GRAVITY / 1e3 / rating
            foot = f"{mass:g} kg on {metres(item.length_mm)} x {metres(item.width_mm)}"
            text = (
                f"{item.id}, {foot}, puts {pressure:.2f} kN/m² on its footprint; the floor is rated {rating:g} kN/m²"
                f" for spread load, which would take {wanted:.2f} m²: {decides}"
            )
            yield Caveat("floor", item.id, text)


def _head(question: Question) -> Iterator[Caveat]:
    room, rule = (
        question.room,
        "ASR A1.8 (2022) asks for 2.10 m over ways, never under 2.00 m; the building code decides",
    )
    if room.height_mm is not None and room.height_mm < HEAD_MM:
        yield Caveat("head", "", f"the room is {metres(room.height_mm)} high: {rule}")
    for low in room.low:
        if low.height_mm < HEAD_LEAST_MM:
            yield Caveat("head", low.id, f"under {low.id} there are {metres(low.height_mm)}: {rule}")


def _exit_distance(question: Question, plan: Plan, ways: Ways) -> Iterator[Caveat]:
    limit = question.rules.escape_longest_mm
    exits = sum(door.exit for door in question.room.doors)
    advice = SINGLE_EXIT_MM if exits < 2 else SEVERAL_EXITS_MM
    for item in question.items:
        for zone in item.zones if item.id in plan.placements else ():
            walk = ways.out(f"{item.id}.{zone.id}").walk_mm if zone.standing else None
            if walk is None:
                continue
            if limit is not None and walk >= NEAR_LIMIT * limit:
                text = f"from {item.id}.{zone.id} it is {metres(walk)} to an exit, near the limit of {metres(limit)}"
                yield Caveat("exit_distance", item.id, f"{text}; the fire authority decides")
            elif limit is None and walk > advice:
                text = f"from {item.id}.{zone.id} it is {metres(walk)} to an exit and no limit is given"
                rule = f"English guidance after Approved Document B: {metres(advice)} in higher fire risk"
                yield Caveat("exit_distance", item.id, f"{text} ({rule}); the fire authority decides")


def _class(item: Item) -> Iterator[Caveat]:
    """A class that is nearly one of those known: what is warned of for that one would be left out in silence."""
    if item.kind in classes() or not (near := get_close_matches(item.kind, classes(), n=1, cutoff=NEARLY)):
        return
    text = f"the class of {item.id}, {item.kind!r}, is none that is known here; if {near[0]} is meant, write that:"
    yield Caveat("class", item.id, f"{text} else nothing is said of it that goes for {near[0]}")


def _panel(item: Item) -> Iterator[Caveat]:
    if item.kind != "supply_panel":
        return
    front = [zone for zone in item.zones if zone.side == "front"]
    deep = max((zone.depth_mm for zone in front), default=0)
    ends = [(zone.from_mm, item.length_mm if zone.to_mm is None else zone.to_mm) for zone in front]
    wide = max((end - start for start, end in ends), default=0)
    wanted = max(PANEL_WIDE_MM, item.length_mm)
    if deep < PANEL_DEEP_MM or wide < wanted:
        text = f"before {item.id} {metres(deep)} x {metres(wide)} stay clear; NEC 110.26 asks for"
        rule = f"{metres(PANEL_DEEP_MM)} x {metres(wanted)}, other rules for other figures"
        yield Caveat("panel_space", item.id, f"{text} {rule}; a licensed electrician decides")


def _two_people(item: Item) -> Iterator[Caveat]:
    for zone in item.zones:
        end = item.side_length(zone.side) if zone.to_mm is None else zone.to_mm
        if zone.people >= 2 and end - zone.from_mm < SIDE_BY_SIDE_MM:
            size = metres(end - zone.from_mm)
            text = f"{zone.people} people work side by side on {size} at {item.id}.{zone.id}"
            rule = f"{metres(SIDE_BY_SIDE_MM)} for two is common practice, no source; the risk assessment decides"
            yield Caveat("two_people", item.id, f"{text}; {rule}")


def _near_heat(question: Question, plan: Plan, item: Item) -> Iterator[Caveat]:
    if not item.combustible:
        return
    box = item.footprint(plan.placements[item.id])
    for hot in question.items:
        if hot.kind != "hot_press" or hot.id not in plan.placements:
            continue
        other = hot.footprint(plan.placements[hot.id])
        if not gap_reaches(box, other, FLAKE_TO_HEAT_MM):
            text = f"{item.id}, which burns, stands {metres(gap(box, other))} from {hot.id}"
            rule = (
                f"{metres(FLAKE_TO_HEAT_MM)}, and 2.00 m under a hood's edge, is common practice, no source"
            )
            yield Caveat("near_heat", item.id, f"{text}; {rule}; the insurer's figure goes before it")


def _noise(question: Question, plan: Plan, item: Item) -> Iterator[Caveat]:
    noise = equipment(item.kind, "m").noise_dB if item.kind in classes() else None
    if noise is None or noise.high < LOUD_DB:
        return
    away = max(_to_wall(question, item.footprint(plan.placements[item.id])), 1000) / 1000
    low, high = (level - 20 * log10(away) for level in (noise.low, noise.high))
    text = (
        f"{item.id} makes {noise.low:.0f} to {noise.high:.0f} dB(A) at 1 m (typical of its class, {noise.source});"
        f" its middle is {metres(away * 1000)} from the nearest wall, where that leaves {low:.0f} to {high:.0f} dB(A)"
        " in the open, more in a hard room; whoever is behind that wall and the noise rules of the place decide, and"
        " from 80 dB(A) at the ear so does 2003/10/EC"
    )
    yield Caveat("noise", item.id, text)


def _to_wall(question: Question, box: Rect) -> float:
    """From the middle of a box to the nearest wall [mm]."""
    x, y = (twice / 2 for twice in box.centre_twice)
    found = []
    for x1, y1, x2, y2 in walls_of(question.room):
        nearest_x = min(max(x, min(x1, x2)), max(x1, x2))
        nearest_y = min(max(y, min(y1, y2)), max(y1, y2))
        found.append(hypot(x - nearest_x, y - nearest_y))
    return min(found)


def _moves(question: Question, item: Item) -> Iterator[Caveat]:
    way = None if item.there else passage(item, question.room)
    if way is not None and way.angle_deg:
        rule = "only with the maker's leave, oil drained, centre of gravity known; riggers decide"
        yield Caveat("tilted", item.id, f"{way.text}; {rule}")


def _skate(question: Question, plan: Plan, item: Item) -> Iterator[Caveat]:
    """No way is known from its door to its place."""
    way = None if item.there else passage(item, question.room)
    if way is None or not way.passes or item.move_in is None:
        return
    if way_in(question, item, plan.placements[item.id]) is None:
        text = (
            f"through {item.move_in.door} {item.id} comes in, but no way is found from there to its place for"
            f" {metres(item.length_mm)} x {metres(item.width_mm)} sliding along the walls' directions and turning"
            " where its diagonal is free, past columns and what stands there already; riggers decide, before the"
            " press is bought"
        )
        yield Caveat("way_in", item.id, text)


def _typical(item: Item) -> Iterator[Caveat]:
    if item.assumed:
        what = ", ".join(name.removesuffix("_mm").removesuffix("_kg") for name in item.assumed)
        rule = "common practice, no source; a tape measure and the rating plate go before it"
        yield Caveat("typical", item.id, f"{item.id}: {what} as is typical of its class; {rule}")
