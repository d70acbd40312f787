"""Which places a step needs and touches, and how many a place holds at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from itertools import pairwise

from flatstock.planning.check.document import Plan, Task
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.spans import overfull
from flatstock.planning.check.steps import STAYS

__all__ = ["benches", "capacity", "masses", "needed", "touched"]

#: for each place that a step needs: the kinds that will do
_NEEDS: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "dry": (("dryer",),),
    "weigh": (("scale",),),
    "prepare": (("bench",),),
    "load": (("bench",), ("hot_press",)),
    "dwell": (("hot_press",),),
    "transfer": (("hot_press",), ("cooling_press",)),
    "press_cool": (("cooling_press",),),
    "stack": (("stack",),),
    "rack": (("rack",),),
    "demould": (("bench", "lift"),),
    "trim": (("saw",),),
}
_STANDS = ("hot_press", "cooling_press", "stack", "rack")  # where a hot mould may stand
_AT_ONE = ("dwell", "press_cool", *STAYS)


def needed(plan: Plan) -> Iterator[Finding]:
    """Places that a step should name and doesn't."""
    for task in plan.tasks:
        for kinds in _NEEDS.get(task.step, ()):
            if not plan.of_kind(task.places, *kinds):
                words = " or ".join(kind.replace("_", " ") for kind in kinds)
                yield Finding(task.where, f"it names no {words}", f"name the {words}", "places", task.start)
        stands = plan.of_kind(task.places, *_STANDS)
        if task.step in _AT_ONE and len(stands) > 1:
            what = f"one mould is in {' and '.join(stands)} at once"
            yield Finding(task.where, what, "it stands in one place", "places", task.start)


def _stands(plan: Plan, task: Task) -> list[str]:
    return plan.of_kind(task.places, *_STANDS)


def touched(plan: Plan) -> Iterator[Finding]:
    """Load, transfer and move that leave out where the mould comes from or goes to."""
    for sheet in plan.sheets:
        tasks = plan.steps.get(sheet, ())
        for n, task in enumerate(tasks):
            if task.step not in ("load", "transfer", "move"):
                continue
            before = tasks[n - 1] if n else None
            after = tasks[n + 1] if n + 1 < len(tasks) else None
            left = _left(plan, task, before)
            entered = [] if after is None or after.step not in _AT_ONE else _stands(plan, after)
            for place, way in [(p, "left") for p in left] + [(p, "entered") for p in entered]:
                if place not in task.places:
                    what = f"{place}, which the mould {way}, is not among its places"
                    yield Finding(task.where, what, f"list {place}", "touched", task.start)
        yield from _stays_put(plan, tasks)


def _left(plan: Plan, task: Task, before: Task | None) -> list[str]:
    if before is None:
        return []
    if task.step == "load":
        return plan.of_kind(before.places, "bench") if before.step == "prepare" else []
    return _stands(plan, before) if before.step in _AT_ONE else []


def _stays_put(plan: Plan, tasks: tuple[Task, ...]) -> Iterator[Finding]:
    """Without a load, transfer or move a mould does not change its place."""
    for before, after in pairwise(tasks):
        if before.step in _AT_ONE and after.step in _AT_ONE and _stands(plan, before) != _stands(plan, after):
            what = f"the mould goes there from {', '.join(_stands(plan, before))} by itself"
            yield Finding(after.where, what, "somebody moves it", "touched", after.start)


def capacity(plan: Plan) -> Iterator[Finding]:
    """Places that hold more than they can, and when."""
    stays: dict[str, list[tuple[datetime, datetime, str]]] = {}
    for task in plan.tasks:
        for place in task.places:
            stays.setdefault(place, []).append((task.start, task.end, task.sheet))
    for place, held in sorted(stays.items()):
        most = plan.resources[place].capacity if place in plan.resources else 1
        for start, end, sheets in overfull(held, most):
            what = f"{', '.join(sheets)} are there until {end.isoformat()}, {most} can be"
            yield Finding(
                f"{place} at {start.isoformat()}", what, f"at most {most} at once", "capacity", start
            )


def benches(plan: Plan) -> Iterator[Finding]:
    """Between prepare and load a mould lies on its bench, and nothing else may."""
    kept: dict[str, list[tuple[datetime, datetime, str]]] = {}
    named: dict[str, list[tuple[datetime, datetime, str]]] = {}
    for task in plan.tasks:
        for bench in plan.of_kind(task.places, "bench"):
            named.setdefault(bench, []).append((task.start, task.end, task.sheet))
    for sheet in plan.sheets:
        prepare, load = plan.step(sheet, "prepare"), plan.step(sheet, "load")
        if prepare is not None and load is not None and load.end > prepare.start:
            for bench in plan.of_kind(prepare.places, "bench"):
                kept.setdefault(bench, []).append((prepare.start, load.end, sheet))
    for bench, held in sorted(kept.items()):
        most = plan.resources[bench].capacity
        known = {(start, end) for start, end, _ in overfull(named[bench], most)}
        for start, end, sheets in overfull(held + named[bench], most):
            if (start, end) not in known:
                what = f"{', '.join(sheets)} are there until {end.isoformat()}"
                instead = "the bench is free again when load ends"
                yield Finding(f"{bench} at {start.isoformat()}", what, instead, "bench_kept", start)


def masses(plan: Plan) -> Iterator[Finding]:
    """More kilograms than a stack, a rack, a dryer or a lift may carry, where the document says."""
    for place in plan.resources.values():
        if place.load_max is None or place.kind not in ("stack", "rack", "dryer", "lift"):
            continue
        on = [task for task in plan.tasks if place.id in task.places and task.sheet in plan.sheets]
        for at in sorted({task.start for task in on}):
            there = {task.sheet for task in on if task.start <= at < task.end}
            mass = sum(_mass(plan, sheet, place.kind) for sheet in there)
            if mass > place.load_max + 1e-6:
                what = f"{', '.join(sorted(there))} weigh {mass:.1f} kg together"
                where = f"{place.id} at {at.isoformat()}"
                yield Finding(where, what, f"at most {place.load_max:g} kg", "mass", at)
                break


def _mass(plan: Plan, sheet: str, kind: str) -> float:
    one = plan.sheets[sheet]
    return one.charge if kind == "dryer" else one.mould_mass or 0.0
