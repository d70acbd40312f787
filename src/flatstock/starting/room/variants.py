"""A question with something changed: a thing left out, or put where somebody wants to try it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from flatstock.starting.room.question import Item, Placement, Question, split_zone

__all__ = ["fixed", "on_grid", "without"]


def without(question: Question, names: Collection[str]) -> Question:
    """The question without some items; what was asked of them goes with them.

    A line that loses its table stays a line.
    """

    def stays(name: str) -> bool:
        return name not in names and split_zone(name)[0] not in names

    return replace(
        question,
        items=tuple(item for item in question.items if item.id not in names),
        near=tuple(pair for pair in question.near if stays(pair.a) and stays(pair.b)),
        apart=tuple(pair for pair in question.apart if stays(pair.a) and stays(pair.b)),
        in_line=tuple(
            replace(line, via=None if line.via in names else line.via)
            for line in question.in_line
            if stays(line.a) and stays(line.b)
        ),
        flows=tuple(flow for flow in question.flows if stays(flow.start) and stays(flow.to)),
    )


def fixed(question: Question, where: Mapping[str, Placement]) -> Question:
    """The question with some items where they are to be tried.

    What stands in the room already stands there instead, to the millimetre. What does not is set down as in a plan:
    at the nearest place on the grid, turned as it may be, and it still has to come in.
    """

    def put(item: Item) -> Item:
        if item.id not in where:
            return item
        if item.there:
            return replace(item, placed=where[item.id])
        return replace(item, placed=on_grid(question, where[item.id]), tried=True)

    return replace(question, items=tuple(put(item) for item in question.items))


def on_grid(question: Question, at: Placement) -> Placement:
    """The nearest place of the question's grid."""
    first, grid = question.room.bounds, question.grid_mm
    x, y = (
        start + (place - start + grid // 2) // grid * grid
        for place, start in ((at.x_mm, first.x_mm), (at.y_mm, first.y_mm))
    )
    return replace(at, x_mm=x, y_mm=y)
