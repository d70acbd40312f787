"""Small rooms for tests: a bare hall with one exit, and boxes in it."""

from __future__ import annotations

from dataclasses import replace

from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Door, Item, Placement, Question, Room, Rules, Zone

HALL = ((0, 0), (8000, 0), (8000, 6000), (0, 6000))
DOOR = Door(id="D1", x1_mm=8000, y1_mm=2000, x2_mm=8000, y2_mm=4000, clear_width_mm=2000, exit=True)


def hall(outline=HALL, doors=(DOOR,), **more) -> Room:
    return Room(outline_mm=outline, doors=doors, **{"height_mm": 3000, **more})


def box(name, length=1000, width=1000, zones=(), **more) -> Item:
    return Item(id=name, kind="other", length_mm=length, width_mm=width, zones=tuple(zones), **more)


def work(name="work", side="front", depth=800, **more) -> Zone:
    return Zone(id=name, kind="work", side=side, depth_mm=depth, **more)


def ask(*items, room=None, rules=None, **more) -> Question:
    rules = replace(Rules(door_clear_mm=900), **(rules or {}))
    return Question(
        shop="test", room=room or hall(), rules=rules, items=tuple(items), grid_mm=more.pop("grid", 1), **more
    )


def at(x, y, turn=0) -> Placement:
    return Placement(x_mm=x, y_mm=y, turned_deg=turn)


def stand(**where) -> Plan:
    return Plan(placements={name: at(*place) for name, place in where.items()})
