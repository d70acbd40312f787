"""Ids: unique in their list, known where they are named, lists in order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from flatstock.planning.check.document import Plan
from flatstock.planning.check.finding import Finding

__all__ = ["duplicates", "order", "unknown"]

_NO_PLACE = ("person", "frame", "skins")


def duplicates(document: Mapping[str, Any]) -> Iterator[Finding]:
    """Ids that stand twice in a list."""
    for where, key, entries in _lists(document):
        names = [str(one[key]) for one in entries]
        for name in sorted({name for name in names if names.count(name) > 1}):
            yield Finding(where, f"{name} stands there {names.count(name)} times", "each id once", "unique")
    for task in document["tasks"]:
        for field in ("places", "people"):
            for name in sorted({name for name in task[field] if task[field].count(name) > 1}):
                yield Finding(
                    f"tasks[{task['id']}].{field}", f"{name} is listed twice", "each id once", "unique"
                )


def order(document: Mapping[str, Any]) -> Iterator[Finding]:
    """Lists that are not sorted as they should be."""
    for name, second in (("tasks", "id"), ("settings", "place"), ("power", "end")):
        keys = [(datetime.fromisoformat(one["start"]), str(one[second])) for one in document[name]]
        if name == "power":
            keys = [(start, "") for start, _ in keys]
        yield from _sorted(name, keys, "start, then id")
    for where, key, entries in _lists(document):
        if where not in ("tasks", "objective"):
            yield from _sorted(where, [str(one[key]) for one in entries], key)


def _sorted(where: str, keys: Sequence[Any], by: str) -> Iterator[Finding]:
    wrong = next((n for n in range(1, len(keys)) if keys[n] < keys[n - 1]), None)
    if wrong is not None:
        yield Finding(
            where, f"entry {wrong} comes before entry {wrong - 1} in order", f"sort by {by}", "sorted"
        )


def _lists(document: Mapping[str, Any]) -> Iterator[tuple[str, str, Sequence[Mapping[str, Any]]]]:
    for name in ("resources", "lots", "sheets", "tasks"):
        yield name, "id", document[name]
    yield "supply.loads", "id", document["supply"]["loads"]
    yield "rehearsal.sheets", "sheet", document["rehearsal"]["sheets"]
    yield "late", "order", document["late"]
    yield "left_out", "order", document["left_out"]
    for sheet in document["sheets"]:
        yield f"sheets[{sheet['id']}].lots", "lot", sheet["lots"]


def unknown(document: Mapping[str, Any], plan: Plan) -> Iterator[Finding]:
    """Names that stand nowhere, or for something of another kind."""
    for task in plan.tasks:
        if task.sheet not in plan.sheets:
            yield _named(task.where, f"there is no sheet {task.sheet}", "name one of `sheets`", task.start)
        for place in task.places:
            if place not in plan.resources or plan.resources[place].kind in _NO_PLACE:
                yield _named(task.where, f"{place} is no place", "name a place of `resources`", task.start)
        for person in task.people:
            if person not in plan.resources or plan.resources[person].kind != "person":
                yield _named(
                    task.where, f"{person} is nobody here", "name a person of `resources`", task.start
                )
    for setting in plan.settings:
        if not plan.of_kind([setting.place], "hot_press"):
            yield _named(setting.where, f"{setting.place} is no hot press", "name a hot press", setting.start)
    for sheet in plan.sheets.values():
        for kind, name in (("frame", sheet.frame), ("skins", sheet.skins)):
            if not plan.of_kind([name], kind):
                yield _named(
                    f"{sheet.id} {kind}", f"there is no {kind} {name}", f"name {kind} of `resources`"
                )
        for lot, _ in sheet.lots:
            if lot not in plan.lots:
                yield _named(f"{sheet.id} lots", f"there is no lot {lot}", "name one of `lots`")
    orders = {sheet.order for sheet in plan.sheets.values()}
    for one in document["late"]:
        if one["order"] not in orders:
            yield _named("late", f"no sheet is of order {one['order']}", "list orders of `sheets`")
    for one in document["rehearsal"]["sheets"]:
        if one["sheet"] not in plan.sheets:
            yield _named("rehearsal", f"there is no sheet {one['sheet']}", "name one of `sheets`")


def _named(where: str, what: str, instead: str, at: datetime | None = None) -> Finding:
    return Finding(where, what, instead, "known", at)
