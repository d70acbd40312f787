"""Who does what: present, one thing at a time, with the skill, enough hands, heating watched."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from flatstock.planning.check.document import Plan, Task
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.heating import sessions
from flatstock.planning.check.spans import gaps, overfull

__all__ = ["busy", "enough", "skilled", "watched"]

_HANDS = ("weigh", "prepare", "load", "transfer", "move", "demould", "trim")


def busy(plan: Plan) -> Iterator[Finding]:
    """People at two things at once, or not there."""
    work: dict[str, list[tuple[datetime, datetime, str]]] = {}
    for task in plan.tasks:
        for person in dict.fromkeys(task.people):
            work.setdefault(person, []).append(
                (task.start, task.end, f"{task.sheet} {task.step} ({task.id})")
            )
            yield from _absent(plan, task, person)
    for person, stays in sorted(work.items()):
        for start, end, tasks in overfull(stays, 1):
            what = f"at {' and '.join(tasks)} until {end.isoformat()}"
            yield Finding(f"{person} at {start.isoformat()}", what, "one thing at a time", "one_thing", start)


def _absent(plan: Plan, task: Task, person: str) -> Iterator[Finding]:
    one = plan.resources.get(person)
    if one is None or one.kind != "person":
        return
    for start, end in gaps((task.start, task.end), one.present):
        what = f"{person} is not there from {start.isoformat()} to {end.isoformat()}"
        yield Finding(task.where, what, "somebody who is present", "present", start)


def _with(plan: Plan, task: Task, skill: str) -> set[str]:
    return {p for p in task.people if p in plan.resources and skill in plan.resources[p].skills}


def skilled(plan: Plan) -> Iterator[Finding]:
    """Hot moulds without two trained people, the saw without a trained one."""
    for task in plan.tasks:
        if task.step in ("load", "transfer") and len(_with(plan, task, "hot_transfer")) < 2:
            what = f"{' and '.join(task.people) or 'nobody'} with the skill needed"
            instead = "two different people trained for hot transfers"
            yield Finding(task.where, what, instead, "two_people", task.start)
        if task.step == "trim" and task.people and not _with(plan, task, "saw"):
            what = f"{' and '.join(task.people)} may not saw"
            yield Finding(task.where, what, "a person trained for the saw", "saw_skill", task.start)


def enough(plan: Plan) -> Iterator[Finding]:
    """Steps without hands, and moulds lifted by too few."""
    for task in plan.tasks:
        if task.step not in _HANDS or task.step in ("load", "transfer"):
            continue  # load and transfer: two skilled people, see above
        if not task.people:
            yield Finding(task.where, "it names nobody", "name who does it", "hands", task.start)
        elif task.step in ("move", "demould"):
            lift = plan.of_kind(task.places, "lift")
            if len(set(task.people)) < (1 if lift else 2):
                what = f"{task.people[0]} alone, without a lift"
                yield Finding(task.where, what, "two people, or one and a lift", "lifting", task.start)


def watched(plan: Plan) -> Iterator[Finding]:
    """Heating that nobody trained is there for."""
    there = [span for person in plan.hot() for span in person.present]
    for press, start, end in sessions(plan):
        for alone, until in gaps((start, end), there):
            what = f"heaters are on until {until.isoformat()} and nobody trained for hot transfers is there"
            instead = "heaters off, or somebody with the skill present"
            yield Finding(f"{press} at {alone.isoformat()}", what, instead, "unattended", alone)
