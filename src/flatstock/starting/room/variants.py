"""A question with something changed: a thing left out, or put where somebody wants to try it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from flatstock.starting.room.question import Placement, Question, split_zone

__all__ = ["fixed", "without"]


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
    """The question with some items where they are to be tried."""
    return replace(
        question,
        items=tuple(
            replace(item, placed=where[item.id]) if item.id in where else item for item in question.items
        ),
    )
