"""Runs through the shop with their time at the saw, as a whole plan by a rule and what it is worth."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from flatstock.planning.dispatch.floor import Floor
from flatstock.planning.problem.clock import Span, common, joined
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.too_much import HEATERS, too_much
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["Sawn", "due_at", "saw_apart", "sawn", "worth"]

NEVER = 10**6
TRIM = "trim"  #: the step at the saw
DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Sawn:
    """A whole plan; worth: late sheets, late minutes and sheets not done by closing, as a search counts them."""

    schedule: Schedule
    worth: tuple[float, float, float]
    heat: float  #: for heating up and holding [kWh]


def due_at(sheet: Sheet) -> int:
    """When it is due; what has no date comes after all that has."""
    return NEVER if sheet.due is None else sheet.due


def saw_apart(week: Week) -> bool:
    """Whether the saw runs only while no heaters are on, since the connection is rated for no more."""
    if week.rated is None or not week.of_kind("saw"):
        return False
    return any(TRIM in together and together <= {TRIM, *HEATERS} for together in too_much(week))


def sawn(week: Week, floor: Floor, runs: dict[str, Run]) -> Sawn | None:
    """The same runs with their time at the saw, the sooner due first; a sheet without one is not done, and where it
    has come to a press there is no plan."""
    sheets = {sheet.id: sheet for sheet in week.sheets}
    heated: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for (press, _), span in sorted(floor.on.items()):
        heated[press].append(span)
    busy = _beside_too_much(week, runs, [Span(*span) for spans in heated.values() for span in spans])
    for name in sorted(runs, key=lambda name: (due_at(sheets[name]), runs[name].demould)):
        if sheets[name].lost or sheets[name].work("trim") is not None or not week.sawing():
            continue
        trim = _sawn_at(floor, runs[name], busy)
        if trim is not None:
            runs[name] = replace(runs[name], trim=trim, ready=trim + week.times.trim)
        elif sheets[name].done is None or (week.loose and sheets[name].work("load") is None):
            del runs[name]
        else:
            return None
    for name, run in runs.items():
        runs[name] = replace(run, ready=run.ready + sheets[name].condition)
    heat = _heat(week, heated)
    for press, spans in week.hot.items():
        heated[press] = [(s.start, s.end) for s in spans if s != week.on_now(press)] + heated[press]
    schedule = Schedule(runs=runs, heated={press: tuple(spans) for press, spans in heated.items()})
    return Sawn(schedule, worth(week, runs), heat)


def _beside_too_much(week: Week, runs: Mapping[str, Run], heated: Sequence[Span]) -> list[tuple[int, int]]:
    """When so much is on that the saw beside it would be more than the connection is rated for."""
    if week.rated is None:
        return []
    others = [together - {TRIM} for together in too_much(week) if TRIM in together and len(together) > 1]
    steps: dict[str, list[Span]] = defaultdict(list)
    if any(not kinds <= set(HEATERS) for kinds in others):
        for sheet in week.sheets:
            for step in steps_of(week, sheet, runs[sheet.id]) if sheet.id in runs else ():
                steps[step.name].append(Span(step.start, step.end))
    found: list[tuple[int, int]] = []
    for kinds in others:
        spans = [joined(heated if kind in HEATERS else steps[kind]) for kind in sorted(kinds)]
        found += [(span.start, span.end) for span in reduce(common, spans)]
    return found


def _sawn_at(floor: Floor, run: Run, busy: list[tuple[int, int]]) -> int | None:
    """The first minute that is free, no sooner than in the plan before if there is one; it is taken."""
    old = floor.like.get(run.sheet)
    trim = None
    if old is not None and old.trim is not None and old.trim > run.ready:
        trim = floor.sawn(old.trim, busy)
    return floor.sawn(run.ready, busy) if trim is None else trim


def _heat(week: Week, heated: Mapping[str, list[tuple[int, int]]]) -> float:
    """For heating up and holding [kWh]."""
    total = 0.0
    for press, spans in heated.items():
        up, hold = week.heat_cost[press]
        total += sum(up + hold * (b - a) / 60 for a, b in spans)
    return total


def worth(week: Week, runs: Mapping[str, Run]) -> tuple[float, float, float]:
    """Late sheets, late minutes, sheets not done by closing, as a search counts them: less is better, in that order."""
    late_sheets = late_minutes = open_ = 0
    for sheet in week.sheets:
        run = runs.get(sheet.id)
        end = week.end + sheet.condition
        if not sheet.lost:
            open_ += week.counts_left_out if run is None else run.ready - sheet.condition > week.closing
        if sheet.due is None or (run is None and sheet.due > end):
            continue
        late = end - sheet.due + DAY if run is None else max(0, run.ready - sheet.due)
        late_sheets += late > 0
        late_minutes += late
    return float(late_sheets), float(late_minutes), float(open_)
