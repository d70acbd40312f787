"""Items in line, near, apart, and hot ones away from what burns."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import permutations

from flatstock.starting.room.plan import Broken
from flatstock.starting.room.question import InLine, Placement, Question, facing, split_zone
from flatstock.starting.room.rectangles import Rect, gap, gap_over, gap_reaches
from flatstock.starting.room.ways import Ways
from flatstock.starting.room.words import metres

__all__ = ["apart", "hot_gaps", "in_line", "near"]

Where = Mapping[str, Placement]


def in_line(question: Question, where: Where) -> Iterator[Broken]:
    """The named sides face each other, the gap within its limits, centre lines together, the table between."""
    for line in question.in_line:
        if line.a in where and line.b in where:
            yield from _one_line(question, where, line)


def near(question: Question, where: Where, ways: Ways) -> Iterator[Broken]:
    """No further than asked: straight between boxes, or walked between the middles of zones."""
    for pair in question.near:
        a, b = _item_of(question, pair.a), _item_of(question, pair.b)
        if a not in where or b not in where:
            continue
        if pair.how == "gap":
            box_a, box_b = _box(question, where, a), _box(question, where, b)
            if gap_over(box_a, box_b, pair.longest_mm):
                text = f"{a} and {b} are {metres(gap(box_a, box_b))} apart, over {metres(pair.longest_mm)}"
                yield Broken("near", (a, b), text)
            continue
        walk = ways.walk_mm(pair.a, pair.b)
        if walk is None:
            yield Broken("near", (pair.a, pair.b), f"there is no way from {pair.a} to {pair.b}")
        elif walk > pair.longest_mm:
            text = f"from {pair.a} to {pair.b} it is {metres(walk)} to walk, over {metres(pair.longest_mm)}"
            yield Broken("near", (pair.a, pair.b), text)


def apart(question: Question, where: Where) -> Iterator[Broken]:
    """No nearer than asked, straight between boxes."""
    for pair in question.apart:
        a, b = _item_of(question, pair.a), _item_of(question, pair.b)
        if a not in where or b not in where:
            continue
        box_a, box_b = _box(question, where, a), _box(question, where, b)
        if not gap_reaches(box_a, box_b, pair.shortest_mm):
            text = f"{a} and {b} are {metres(gap(box_a, box_b))} apart, under {metres(pair.shortest_mm)}"
            yield Broken("apart", (a, b), text)


def hot_gaps(question: Question, where: Where) -> Iterator[Broken]:
    """What burns stands off hot machines by their gap."""
    for hot, cold in permutations(question.items, 2):
        if hot.hot_gap_mm and cold.combustible and hot.id in where and cold.id in where:
            a, b = _box(question, where, hot.id), _box(question, where, cold.id)
            if not gap_reaches(a, b, hot.hot_gap_mm):
                text = f"{cold.id}, which burns, is {metres(gap(a, b))} from {hot.id}, under {metres(hot.hot_gap_mm)}"
                yield Broken("hot_gap", (hot.id, cold.id), text)


def _one_line(question: Question, where: Where, line: InLine) -> Iterator[Broken]:
    about = (line.a, line.b)
    outward = facing(line.side_a, where[line.a].turned_deg)
    x, y = facing(line.side_b, where[line.b].turned_deg)
    a, b = _box(question, where, line.a), _box(question, where, line.b)
    along = 0 if outward[0] else 1
    low, high = _between(a, b, outward)
    if (x, y) != (-outward[0], -outward[1]) or high < low:
        what = f"the {line.side_a} of {line.a} and the {line.side_b} of {line.b} do not face each other"
        yield Broken("in_line", about, what)
        return
    if not line.gap_min_mm <= high - low <= line.gap_max_mm:
        limits = f"{metres(line.gap_min_mm)} to {metres(line.gap_max_mm)}"
        text = f"between {line.a} and {line.b} there are {metres(high - low)}, not {limits}"
        yield Broken("in_line", about, text)
    if (off := _offset(a, b, along)) > 2 * line.offset_max_mm:
        limit = metres(line.offset_max_mm)
        text = f"the centre lines of {line.a} and {line.b} are {metres(off / 2)} apart, over {limit}"
        yield Broken("in_line", about, text)
    if line.via is not None and line.via in where:
        via = _box(question, where, line.via)
        first, last = (via.x_mm, via.right_mm) if along == 0 else (via.y_mm, via.top_mm)
        # the table's middle may miss the line by the rounding of a grid, whatever the machines may
        slack = 2 * max(line.offset_max_mm, question.grid_mm)
        if not (low <= first and last <= high) or max(_offset(a, via, along), _offset(b, via, along)) > slack:
            yield Broken(
                "in_line", (*about, line.via), f"{line.via} does not stand between {line.a} and {line.b}"
            )


def _between(a: Rect, b: Rect, outward: tuple[int, int]) -> tuple[int, int]:
    """The stretch from the side of `a` that looks `outward` to the side of `b` that looks back."""
    if outward == (1, 0):
        return a.right_mm, b.x_mm
    if outward == (-1, 0):
        return b.right_mm, a.x_mm
    return (a.top_mm, b.y_mm) if outward == (0, 1) else (b.top_mm, a.y_mm)


def _offset(a: Rect, b: Rect, along: int) -> int:
    """Twice the distance of two centre lines that run along an axis."""
    return abs(a.centre_twice[1 - along] - b.centre_twice[1 - along])


def _item_of(question: Question, name: str) -> str:
    return name if name in question.by_id else split_zone(name)[0]


def _box(question: Question, where: Where, item: str) -> Rect:
    return question.by_id[item].footprint(where[item])
