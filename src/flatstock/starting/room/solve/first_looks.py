"""What refuses a room before anything is searched: a door too narrow, a machine that fits nowhere even alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from flatstock.starting.room.check import judge
from flatstock.starting.room.check.walking import goods_doors
from flatstock.starting.room.move_in import passage
from flatstock.starting.room.plan import Broken, Plan
from flatstock.starting.room.question import Item, Question, split_zone
from flatstock.starting.room.rectangles import Rect, overlap
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.variants import without
from flatstock.starting.room.walls import exit_squares, is_inside
from flatstock.starting.room.words import metres

__all__ = ["Refusal", "first_looks", "refused_alone"]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why there is no plan, proven."""

    conflict: tuple[str, ...]
    why: str
    by_place: bool = False  #: it is where something already stands


def first_looks(question: Question, spots: Spots) -> Refusal | None:
    """What can't be whatever stands where; None: nothing that is seen at once."""
    for item in question.items:
        if item.tried and (refusal := _kept_out(question, item)) is not None:
            return refusal
    standing = list(_standing_already(question))
    broken = [*goods_doors(question), *standing]
    if broken:
        about = dict.fromkeys(split_zone(name)[0] for one in broken for name in one.about)
        why = "; ".join(dict.fromkeys([*(one.text for one in broken), *_lengthwise(question, set(about))]))
        return Refusal(tuple(about), why, by_place=bool(standing))
    if not exit_squares(question.room, question.rules):
        for item in question.items:
            if not item.optional and any(zone.standing for zone in item.zones):
                wide = metres(question.rules.escape_width_mm)
                return Refusal((item.id,), f"nobody gets out from {item.id}: no exit is {wide} wide")
    for item in question.items:
        if item.placed is None and not item.optional:
            refusal = refused_alone(question, spots, item)
            if refusal is not None:
                return refusal
    return None


def refused_alone(question: Question, spots: Spots, item: Item) -> Refusal | None:
    """Why an item has no place in the room even alone; None where it has."""
    if (shut := _kept_out(question, item)) is not None:
        return shut
    if any(spots.alone(item.id, shape.turn).any() for shape in spots.shapes[item.id]):
        return None
    if (text := _stands_in_itself(question, spots, item)) is not None:
        return Refusal((item.id,), text)
    if spots.shut_in(item.id):
        wide = metres(question.rules.escape_width_mm)
        trolley = any(zone.trolley for zone in item.zones) and question.rules.trolley is not None
        ends = f"nobody gets out from it by a way {wide} wide" + (
            " or the trolley has no room" if trolley else ""
        )
        return Refusal((item.id,), f"wherever {item.id} fits with the floor that it needs, {ends}")
    high = None if item.height_mm is None else item.height_mm + item.head_room_mm
    room = question.room
    if high is not None and room.height_mm is not None and high > room.height_mm:
        text = f"{item.id} needs {metres(high)} of height, the room has {metres(room.height_mm)}"
        return Refusal((item.id,), text)
    hang = [] if high is None else [low for low in room.low if high > low.height_mm]
    clear = Spots(replace(question, room=replace(room, low=())))
    if hang and any(clear.alone(item.id, shape.turn).any() for shape in clear.shapes[item.id]):
        under = " and ".join(f"{metres(low.height_mm)} under {low.id}" for low in hang)
        text = (
            f"{item.id} needs {metres(high or 0)} of height, there is {under}, and nowhere else does it lie with the"
            " floor that it needs"
        )
        return Refusal((item.id, *(low.id for low in hang)), text)
    reach = spots.shapes[item.id][0].reach
    text = (
        f"{item.id} with the floor that it needs takes {metres(reach.length_mm)} x {metres(reach.width_mm)}, and lies"
        f" so nowhere in a room of {metres(room.bounds.length_mm)} x {metres(room.bounds.width_mm)}"
    )
    return Refusal((item.id,), text)


def _stands_in_itself(question: Question, spots: Spots, item: Item) -> str | None:
    """Of a zone shallower than the way to its middle: whoever stands there would stand in the thing itself."""
    if any(shape.stands for shape in spots.shapes[item.id]):
        return None
    shape = spots.shapes[item.id][0]
    name = next(f.name for f in shape.floors if not f.zone and overlap(f.rect, shape.box))
    zone = item.zone(split_zone(name)[1])
    rules = question.rules
    wide = rules.service_width_mm if zone.kind == "service" else rules.access_width_mm
    return (
        f"a way {metres(wide)} wide to the middle of {name} runs into {item.id} itself, as the zone is only"
        f" {metres(zone.depth_mm)} deep"
    )


def _kept_out(question: Question, item: Item) -> Refusal | None:
    """Why an item never comes into the room; None where it does."""
    way = passage(item, question.room)
    if way is None or way.passes:
        return None
    assert item.move_in is not None
    return Refusal((item.id, item.move_in.door), way.text)


def _lengthwise(question: Question, names: set[str]) -> Iterator[str]:
    """Of things that stand turned, and that would be in the room with their sides the other way: what was meant."""
    room = question.room
    for item in question.items:
        at = item.placed
        if item.id not in names or at is None or at.turned_deg not in (90, 270):
            continue
        box = item.footprint(at)
        swapped = Rect(box.x_mm, box.y_mm, box.width_mm, box.length_mm)
        if is_inside(room, swapped) and not is_inside(room, box):
            yield (
                f"of a thing with a place, length_mm lies along x as it stands: {item.id} would be inside as"
                f" {metres(swapped.length_mm)} x {metres(swapped.width_mm)}"
            )


def _standing_already(question: Question) -> Iterator[Broken]:
    """What is wrong with the things whose places are given, before any other joins them."""
    alone = without(question, [item.id for item in question.items if item.placed is None])
    plan = Plan(placements={item.id: item.placed for item in alone.items if item.placed is not None})
    if plan.placements:
        yield from (one for one in judge(alone, plan).faults if one.rule != "goods_door")
