"""Moulds that cool on though their charge is given up: the floor with them on it, for the rules of places and hands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from flatstock.planning.check.document import Plan, Sheet, by_time, task_of
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
    return Sheet(
        id=one["sheet"],
        order=one["order"],
        thickness=one["thickness_mm"],
        lots=(),
        charge=one["charge_kg"],
        set_point=one["set_point_C"],
        dwell=one["dwell_min"],
        dwell_planned=one["dwell_planned_min"],
        dwell_latest=one["dwell_latest_min"],
        press_cool=one["press_cool_min"],
        frame=one["frame"],
        skins=one["skins"],
        condition_h=0.0,
        due=None,
        ready=datetime.fromisoformat(one["ahead"][-1]["end"]),
        late=0.0,
        mould_mass=one.get("mould_mass_kg"),
    )
