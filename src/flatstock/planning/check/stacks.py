"""A stack gives back what came last, first."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.planning.check.document import Plan
from flatstock.planning.check.finding import Finding

__all__ = ["stacks"]


def stacks(plan: Plan) -> Iterator[Finding]:
    """Moulds taken from under others, and moulds that came at the same moment."""
    for place in plan.resources.values():
        if place.kind != "stack":
            continue
        stays = [task for task in plan.tasks if task.step == "stack" and place.id in task.places]
        stays.sort(key=lambda task: (task.start, task.end))
        for n, under in enumerate(stays):
            for over in stays[n + 1 :]:
                if over.start >= under.end:
                    break
                if over.start == under.start:
                    what = f"{over.sheet} comes onto {place.id} at the same moment"
                    yield Finding(under.where, what, "one after the other", "stacked_at_once", under.start)
                elif over.end >= under.end:
                    what = f"it leaves {place.id} at {under.end.isoformat()} with {over.sheet} on top of it"
                    instead = f"{over.sheet}, which came later, leaves first"
                    yield Finding(under.where, what, instead, "last_in_first_out", under.end)
