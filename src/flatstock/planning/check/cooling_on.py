"""Moulds that cool on though their charge is given up: the floor with them on it, for the rules of places and hands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from flatstock.planning.check.document import Plan, Sheet, by_time, sheet_of, task_of
from flatstock.planning.check.finding import Finding

__all__ = ["emptied", "with_given_up"]


def with_given_up(document: Mapping[str, Any], plan: Plan) -> Plan:
    """The plan with what is still to come of such moulds (`ahead` of `given_up`) among its sheets and tasks."""
    listed = [
        one for one in document.get("given_up", ()) if one.get("ahead") and one["sheet"] not in plan.sheets
    ]
    if not listed:
        return plan
    tasks = [*plan.tasks, *(task_of(task) for one in listed for task in (*one["tasks"], *one["ahead"]))]
    sheets = {**plan.sheets, **{one["sheet"]: _sheet(one) for one in listed}}
    return replace(plan, sheets=sheets, tasks=tasks, steps=by_time(tasks, "sheet"))


def emptied(document: Mapping[str, Any]) -> Iterator[Finding]:
    """Such a mould stands somewhere until somebody empties it, and `out` says when that is."""
    for one in document.get("given_up", ()):
        if one.get("place") in (None, one["press"]):
            continue
        steps = {task["step"]: task for task in (*one["tasks"], *one.get("ahead", ()))}
        last = steps.get("demould")
        if last is None or one["out"] is None or last["end"] != one["out"]["end"]:
            what = f"its mould is in {one['place']}, and not emptied as out says"
            yield Finding(one["sheet"], what, "a demould that out tells", "given_up_kept")


def _sheet(one: Mapping[str, Any]) -> Sheet:
    """What the rules of places and hands ask of it; nothing comes of its charge."""
    unsaid = {"lots": (), "condition_h": 0.0, "due": None, "late_min": 0.0}
    return sheet_of({**one, **unsaid, "id": one["sheet"], "ready": one["ahead"][-1]["end"]})
