"""A short look for any plan that passes."""

from __future__ import annotations

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Question
from flatstock.starting.room.solve.search import Found, Searcher
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks

__all__ = ["finds_plan"]


def finds_plan(question: Question, spots: Spots, until: float) -> bool:
    """True where a plan that the judge passes was found before the clock (`time.monotonic`) says `until`."""
    passed: list[Found] = []

    def judged(found: Found) -> float | None:
        if not judge(question, Plan(placements=found.where)).passes:
            return None
        passed.append(found)
        return 0.0

    Searcher(question, spots, Walks(question)).run(until, judged=judged, stop=lambda: bool(passed))
    return bool(passed)
