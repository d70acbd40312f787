"""Which purchases can be measured by planning weeks with and without them, and which weeks that takes."""

from __future__ import annotations

from itertools import combinations

from flatstock.starting.outlay.measured_weeks import Measured, MeasuredWeek
from flatstock.starting.outlay.question import Question

__all__ = ["Measured", "MeasuredWeek", "measurable", "sets_to_measure"]


def measurable(question: Question) -> tuple[frozenset[str], frozenset[str]]:
    """Purchases that are not required and say what they add; those that give something and don't say."""
    rest = [one for one in question.purchases if not one.required]
    over = frozenset(one.id for one in rest if one.adds or one.adds_like)
    return over, frozenset(one.id for one in rest if one.gives and one.id not in over)


def sets_to_measure(question: Question) -> list[frozenset[str]]:
    """Nothing, each purchase alone, each pair: what the table of next purchases shows."""
    over, _ = measurable(question)
    by_id = question.by_id
    chosen = [frozenset(some) for size in (0, 1, 2) for some in combinations(sorted(over), size)]

    def can_be(some: frozenset[str]) -> bool:
        return all(need in some or need not in over for name in some for need in by_id[name].needs)

    return [some for some in chosen if can_be(some)]
