"""The steps of each sheet: which there must be, in which order, and which touch."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from flatstock.planning.check.document import Plan, Sheet, Task
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.shape import STEPS

__all__ = ["COMPULSORY", "STAYS", "lengths", "nowhere", "order", "present", "touching"]

COMPULSORY = ("weigh", "prepare", "load", "dwell", "transfer", "press_cool", "demould")
STAYS = ("stack", "rack")
_REPEATED = ("move", *STAYS)
#: move, stack and rack come between press_cool and demould in any number
_RANK = {step: STEPS.index("move") if step in _REPEATED else n for n, step in enumerate(STEPS)}


def lengths(plan: Plan) -> Iterator[Finding]:
    """Tasks and settings that end before they start, or take no time."""
    for task in plan.tasks:
        if task.end <= task.start:
            yield Finding(
                task.where, f"it ends at {task.end.isoformat()}", "end after the start", "lasts", task.start
            )
    for setting in plan.settings:
        if setting.end < setting.start or (setting.end == setting.start and setting.kind != "off"):
            what = f"it ends at {setting.end.isoformat()}"
            yield Finding(setting.where, what, "end after the start", "lasts", setting.start)
    for person in plan.resources.values():
        for start, end in person.present:
            if end <= start:
                what = f"present from {start.isoformat()} to {end.isoformat()}"
                yield Finding(person.id, what, "end after the start", "lasts", start)


def present(plan: Plan) -> Iterator[Finding]:
    """Steps that are missing, or come twice."""
    for sheet in plan.sheets.values():
        names = [task.step for task in plan.steps.get(sheet.id, ())]
        for step in COMPULSORY:
            if step not in names:
                yield Finding(sheet.id, f"there is no {step}", "every sheet has one", "compulsory")
        for step in dict.fromkeys(names):
            if names.count(step) > 1 and step not in _REPEATED:
                yield Finding(sheet.id, f"{step} comes {names.count(step)} times", "once", "once")


def order(plan: Plan) -> Iterator[Finding]:
    """Steps out of order, overlapping, or a stay that nobody carries the mould to."""
    for sheet in plan.sheets.values():
        tasks = plan.steps.get(sheet.id, ())
        for before, after in pairwise(tasks):
            if _RANK[after.step] < _RANK[before.step]:
                what = f"it comes after {before.step} ({before.id})"
                yield Finding(
                    after.where, what, f"{after.step} comes before {before.step}", "order", after.start
                )
            elif after.start < before.end:
                what = f"it starts before {before.step} ({before.id}) ends at {before.end.isoformat()}"
                yield Finding(after.where, what, "one step after the other", "overlap", after.start)
        yield from _carried(tasks)


def _carried(tasks: tuple[Task, ...]) -> Iterator[Finding]:
    for before, after in pairwise(tasks):
        if after.step in STAYS and before.step != "move":
            what = f"nobody moves the mould there; {before.step} comes before it"
            yield Finding(after.where, what, "a move right before it", "moved_in", after.start)
        if before.step == "move" and after.step not in STAYS:
            what = f"it leads to {after.step}, not to a stack or a rack"
            yield Finding(before.where, what, "a stay right after it", "moved_in", before.start)


def touching(plan: Plan) -> Iterator[Finding]:
    """Steps that should begin at the moment another ends."""
    for sheet in plan.sheets.values():
        yield from _touch(plan, sheet, "load", "dwell", "dwell_after_load")
        yield from _touch(plan, sheet, "transfer", "press_cool", "cool_after_transfer")
        for before, after in pairwise(plan.steps.get(sheet.id, ())):
            if before.step in ("dwell", "press_cool", *STAYS) and after.start > before.end:
                what = f"it ends at {before.end.isoformat()}, the next step ({after.step}) begins later"
                instead = f"it lasts until {after.start.isoformat()}"
                yield Finding(before.where, what, instead, "leaves_as_it_ends", before.end)


def _touch(plan: Plan, sheet: Sheet, first: str, then: str, rule: str) -> Iterator[Finding]:
    before, after = plan.step(sheet.id, first), plan.step(sheet.id, then)
    if before is not None and after is not None and before.end != after.start:
        what = f"{first} ends at {before.end.isoformat()}"
        yield Finding(after.where, what, f"{then} begins at that moment", rule, after.start)


def nowhere(plan: Plan) -> Iterator[Finding]:
    """Moulds that are put down nowhere, or are left standing without a place."""
    for sheet in plan.sheets.values():
        tasks = plan.steps.get(sheet.id, ())
        for before, after in pairwise(tasks):
            if before.step == "move" and after.start > before.end:
                what = f"from {before.end.isoformat()} to {after.start.isoformat()} the mould is in no place"
                yield Finding(
                    before.where, what, f"{after.step} begins as the move ends", "nowhere", before.end
                )
        hot = [task for task in tasks if task.step in STEPS[STEPS.index("load") : STEPS.index("demould")]]
        if hot and not any(task.step == "demould" for task in tasks) and hot[-1].end < plan.end:
            what = f"after {hot[-1].end.isoformat()} the mould is in no place and not demoulded"
            yield Finding(hot[-1].where, what, "a place until it is demoulded", "nowhere", hot[-1].end)
