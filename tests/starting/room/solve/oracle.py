"""Every plan of a small room, one by one, through the judge: slow, and the measure of everything else here."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from random import Random

from flatstock.starting.room.check import judge
from flatstock.starting.room.check.boxes import boxes, heights, zones
from flatstock.starting.room.check.pairs import apart, hot_gaps, in_line
from flatstock.starting.room.check.walking import ways_out
from flatstock.starting.room.document import walk_per_day
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import (
    Apart,
    Column,
    Door,
    Flow,
    InLine,
    Item,
    Low,
    Near,
    Placement,
    Question,
    Room,
    Rules,
    Trolley,
    Zone,
)
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.variants import without
from flatstock.starting.room.ways import Ways

INFINITE = float("inf")


def places(question: Question, item: Item) -> Iterator[Placement]:
    """Every place on the grid in every turn."""
    b, g = question.room.bounds, question.grid_mm
    for turn in item.may_turn_deg:
        for x in range(b.x_mm, b.right_mm + 1, g):
            for y in range(b.y_mm, b.top_mm + 1, g):
                yield Placement(x_mm=x, y_mm=y, turned_deg=turn)


def best_of_all(question: Question) -> float | None:
    """The least walk over all plans; None where none passes.

    Things are set down one after the other, and a part that breaks a rule of boxes, zones or ways out on its own is
    not gone on with: nothing that joins it can mend that.
    """
    least = INFINITE
    found = False
    for where in _parts(question, {}):
        judgement = judge(question, Plan(placements=where))
        if judgement.passes:
            found = True
            walk = walk_per_day(question, judgement.ways, Plan(placements=where))
            least = min(least, INFINITE if walk is None else walk)
    return least if found else None


def _parts(question: Question, where: dict[str, Placement]) -> Iterator[dict[str, Placement]]:
    waiting = [item for item in question.items if item.id not in where]
    if not waiting:
        yield where
        return
    item = waiting[0]
    for at in places(question, item) if item.placed is None else [item.placed]:
        more = where | {item.id: at}
        part = without(question, [other.id for other in waiting[1:]])
        rules = (boxes, zones, heights, in_line, apart, hot_gaps)
        if any(next(iter(rule(part, more)), None) is not None for rule in rules):
            continue
        if len(waiting) > 1 and next(iter(ways_out(part, more, Ways(part, more))), None) is not None:
            continue
        yield from _parts(question, more)


def a_room(seed: int) -> Question:
    """A small room on a coarse grid with two to four things in it, drawn by chance; about half of them can't be."""
    random = Random(seed)
    grid = 500
    length, width = random.randint(5, 7) * 500, random.randint(5, 6) * 500
    cut = random.random() < 0.3
    notch = (length - 1000, width - 1000)
    outline = (
        ((0, 0), (length, 0), (length, notch[1]), (notch[0], notch[1]), (notch[0], width), (0, width))
        if cut
        else ((0, 0), (length, 0), (length, width), (0, width))
    )
    start = random.choice((0, 500, 1000))
    door = Door(
        id="D1", x1_mm=start, y1_mm=0, x2_mm=start + 1000, y2_mm=0, clear_width_mm=1000, exit=True, goods=True,
        opens=random.choice(("out", "in", "slides")),
    )  # fmt: skip
    columns = ()
    if random.random() < 0.4:
        x, y = random.randint(1, length // 500 - 2) * 500, random.randint(2, width // 500 - 1) * 500
        columns = (Column(id="C1", box=Rect(x, y, 300, 300)),)
    trolley = Trolley(length_mm=700, width_mm=500, clearance_mm=50, moves=random.choice(("any", "along")))
    has_trolley = random.random() < 0.5
    rules = Rules(
        escape_width_mm=random.choice((700, 900)), access_width_mm=600, service_width_mm=500,
        narrow_longest_mm=random.choice((0, 1000, 3000)), escape_longest_mm=random.choice((None, 4000)),
        door_clear_mm=random.choice((0, 500)), trolley=trolley if has_trolley else None,
    )  # fmt: skip
    low = ()
    if random.random() < 0.3:
        low = (Low(id="BEAM", box=Rect(0, width - 1000, length, 500), height_mm=900),)
    items = tuple(_thing(random, n) for n in range(random.choice((2, 2, 2, 3))))
    line = ()
    if random.random() < 0.25:
        sides = random.choice((("right", "left"), ("back", "front"), ("left", "left")))
        line = (
            InLine(
                a="A", b="B", side_a=sides[0], side_b=sides[1], gap_min_mm=500,
                gap_max_mm=random.choice((500, 1000)), offset_max_mm=random.choice((0, 250, 500)),
                via="C" if len(items) > 2 else None,
            ),
        )  # fmt: skip
    if random.random() < 0.15:
        spot = Placement(
            x_mm=length - items[0].length_mm - random.choice((0, 130)), y_mm=width - items[0].width_mm
        )
        items = (replace(items[0], placed=spot), *items[1:])
    names = [f"{item.id}.{zone.id}" for item in items for zone in item.zones if zone.standing]
    flows = tuple(
        Flow(start=a, to=b, trips_per_day=random.choice((1, 4, 2.5))) for a, b in itertools.pairwise(names)
    )
    near = tuple(
        Near(a=a, b=b, how="walk", longest_mm=2000)
        for a, b in itertools.pairwise(names)
        if random.random() < 0.2
    )
    apart_ = (Apart(a="A", b="B", shortest_mm=700),) if random.random() < 0.2 else ()
    room = Room(outline_mm=outline, height_mm=3000, doors=(door,), columns=columns, low=low)
    return Question(
        shop="r",
        room=room,
        rules=rules,
        items=items,
        grid_mm=grid,
        flows=flows,
        near=near,
        apart=apart_,
        in_line=line,
    )


def _thing(random: Random, n: int) -> Item:
    length, width = random.choice((500, 1000, 1500)), random.choice((500, 1000))
    zones = [
        Zone(
            id="work", kind=random.choice(("work", "work", "service")), side="front",
            depth_mm=random.choice((600, 600, 700, 1000)), exclusive=random.random() < 0.2, trolley=random.random() < 0.6,
        )
    ]  # fmt: skip
    if random.random() < 0.4:
        zones.append(Zone(id="swing", kind="swing", side=random.choice(("back", "left")), depth_mm=500))
    return Item(
        id="ABCD"[n], kind="other", length_mm=length, width_mm=width, zones=tuple(zones),
        may_turn_deg=random.choice(((0, 90, 180, 270), (0,), (0, 180), (90, 180))),
        combustible=random.random() < 0.3, hot_gap_mm=random.choice((0, 0, 0, 800)), height_mm=random.choice((800, 1000)),
    )  # fmt: skip
