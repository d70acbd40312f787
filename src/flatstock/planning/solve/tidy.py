"""Sheets that nothing tells apart, put into the order of their numbers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.cpsat import Answer
from flatstock.planning.solve.first import as_in
from flatstock.planning.solve.floor import likeness
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["tidy"]


def tidy(model: WeekModel, week: Week, answer: Answer) -> Sequence[int] | None:
    """The values of the same plan with sheets alike loaded in the order of their numbers; None where that fails."""
    schedule = model.schedule(answer)
    groups: dict[object, list[str]] = defaultdict(list)
    for sheet in sorted(week.sheets, key=lambda sheet: sheet.id):
        if sheet.done is None:
            groups[likeness(sheet)].append(sheet.id)
    runs = dict(schedule.runs)
    for names in groups.values():
        taken: list[Run] = sorted(
            (runs.pop(name) for name in names if name in runs), key=lambda run: run.load
        )
        runs |= {name: replace(run, sheet=name) for name, run in zip(names, taken, strict=False)}
    found = as_in(model.tidied(), week, model.chains, model.heated, replace(schedule, runs=runs))
    return found[0] if found else None
