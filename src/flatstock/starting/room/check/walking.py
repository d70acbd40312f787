"""People reach their places and get out; the trolley reaches its zones and its door."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from flatstock.starting.room.plan import Broken
from flatstock.starting.room.question import Placement, Question, split_zone
from flatstock.starting.room.trolley import reach
from flatstock.starting.room.ways import Ways
from flatstock.starting.room.words import metres

__all__ = ["flows", "goods_doors", "trolley", "ways_out"]

Where = Mapping[str, Placement]


def ways_out(question: Question, where: Where, ways: Ways) -> Iterator[Broken]:
    """Every standing place holds its square, which slides to a way out and on to an exit, within the limits."""
    rules = question.rules
    for item in question.items:
        for zone in item.zones if item.id in where else ():
            if not zone.standing:
                continue
            name = f"{item.id}.{zone.id}"
            width = rules.service_width_mm if zone.kind == "service" else rules.access_width_mm
            if not ways.stands(name):
                yield Broken("stand", (name,), f"no square of {metres(width)} fits at the middle of {name}")
                continue
            out = ways.out(name)
            wide = metres(rules.escape_width_mm)
            if out.narrow_mm is None:
                yield Broken("way_out", (name,), f"from {name} no way {wide} wide leads to an exit")
            elif out.walk_mm is None:
                limit = metres(rules.narrow_longest_mm)
                text = f"from {name} it is {metres(out.narrow_mm)} to a way {wide} wide, over {limit}"
                yield Broken("narrow", (name,), text)
            elif rules.escape_longest_mm is not None and out.walk_mm > rules.escape_longest_mm:
                limit = metres(rules.escape_longest_mm)
                text = f"from {name} it is {metres(out.walk_mm)} to the exit {out.exit}, over {limit}"
                yield Broken("exit_far", (name,), text)


def flows(question: Question, where: Where, ways: Ways) -> Iterator[Broken]:
    """Every flow between things that stand can be walked."""
    for flow in question.flows:
        there = split_zone(flow.start)[0] in where and split_zone(flow.to)[0] in where
        if there and ways.walk_mm(flow.start, flow.to) is None:
            wide = metres(question.rules.access_width_mm)
            text = f"from {flow.start} to {flow.to} there is no way {wide} wide"
            yield Broken("flow", (flow.start, flow.to), text)


def trolley(question: Question, where: Where) -> Iterator[Broken]:
    """The loaded trolley can be in each of its zones, and goes from each to each."""
    of = question.rules.trolley
    if of is None:
        return
    found = reach(question, where)
    size = " x ".join(metres(side + 2 * of.clearance_mm) for side in (of.length_mm, of.width_mm))
    for name in found.nowhere:
        text = f"the trolley, {size} with its clearance, can nowhere have its middle in {name}"
        yield Broken("trolley", (name,), text)
    for name in found.cut_off:
        text = f"the trolley, {size} with its clearance, does not get from {name} to its other places"
        yield Broken("trolley", (name,), text)


def goods_doors(question: Question) -> Iterator[Broken]:
    """Every goods door lets the trolley through with its clearance."""
    of = question.rules.trolley
    if of is None:
        return
    needs = min(of.length_mm, of.width_mm) + of.door_clearance_mm
    for door in question.room.doors:
        if door.goods and door.clear_width_mm < needs:
            text = f"{door.id} is {metres(door.clear_width_mm)} wide, the trolley needs {metres(needs)}"
            yield Broken("goods_door", (door.id,), text)
