"""Which bench or saw of several alike each sheet gets: the first that is free; the model counts them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.week import Week

__all__ = ["seated"]


def seated(week: Week, runs: Mapping[str, Run]) -> dict[str, Run]:
    """The same runs with every place named."""
    t = week.times
    wanted: list[tuple[int, int, str, str, str]] = []  # start, end, sheet, field, kind of place
    for run in runs.values():
        wanted.append((run.prepare, run.load + t.load, run.sheet, "bench", "bench"))
        if not run.demould_at:
            wanted.append((run.demould, run.demould + t.demould, run.sheet, "demould_at", "bench"))
        if run.trim is not None:
            wanted.append((run.trim, run.trim + t.trim, run.sheet, "saw", "saw"))
    seats: dict[str, dict[str, Any]] = {name: {} for name in runs}
    held: dict[str, list[int]] = {}
    for start, end, sheet, field, kind in sorted(wanted):
        free = []
        for site in week.of_kind(kind):
            ends = [moment for moment in held.get(site.id, []) if moment > start]
            if len(ends) < site.capacity:
                free.append(site.id)
        place = min(free)
        held.setdefault(place, []).append(end)
        seats[sheet][field] = place
    return {name: replace(run, **seats[name]) for name, run in runs.items()}
