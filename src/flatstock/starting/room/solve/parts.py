"""Parts of a question that may be impossible on their own, so that the whole is.

Less to place is never harder, and a part is proven sooner than the whole: a line of machines that must all be within
a limit to an exit is refused in seconds, where with everything else about it nobody sees an end.
"""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.starting.room.question import Item, Question, split_zone
from flatstock.starting.room.solve.rows import names_of
from flatstock.starting.room.variants import without

__all__ = ["floor_mm2", "parts"]


def floor_mm2(item: Item) -> int:
    """Floor under an item and its zones together [mm2]."""
    return item.length_mm * item.width_mm + sum(
        rect.area_mm2 for rect in (item.zone_offset(zone, 0) for zone in item.zones)
    )


def parts(question: Question) -> Iterator[Question]:
    """Each line alone, each with what must be near it on foot, then with the largest other thing or two.

    Things that stand already belong to every part; those that need not stand to none.
    """
    must = {item.id for item in question.items if not item.optional}
    there = {item.id for item in question.items if item.placed is not None}
    largest = [item.id for item in sorted(question.items, key=floor_mm2, reverse=True) if item.id in must]
    lines = [set(names_of(line)) & must for line in question.in_line] or [set(largest[:1])]
    given: list[set[str]] = []
    for more in range(4):
        for line in lines:
            group = line | there
            if more:
                group |= _near(question, line) & must
            group |= set([name for name in largest if name not in group][: max(0, more - 1)])
            if group not in given and len(group) < len(question.items):
                given.append(group)
                yield without(question, [item.id for item in question.items if item.id not in group])


def _near(question: Question, names: set[str]) -> set[str]:
    """What must be within some walk of these."""
    found = set()
    for pair in question.near:
        ends = {split_zone(pair.a)[0], split_zone(pair.b)[0]}
        if ends & names:
            found |= ends
    return found
