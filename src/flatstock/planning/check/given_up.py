"""Charges given up or set aside: nothing is planned of them; their press, mould set and hands are nobody else's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from flatstock.planning.check.document import Plan
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.heating import sessions
from flatstock.planning.check.spans import gaps

__all__ = ["given_up"]


def given_up(document: Mapping[str, Any], plan: Plan) -> Iterator[Finding]:
    """Each entry of `given_up` and `set_aside`, where the document has any."""
    for one in document.get("set_aside", ()):
        if one["sheet"] in plan.sheets:
            yield Finding(one["sheet"], "it is set aside and planned too", "one of the two", "given_up_sheet")
    for one in document.get("given_up", ()):
        name = one["sheet"]
        if name in plan.sheets:
            yield Finding(name, "it is given up and planned too", "one of the two", "given_up_sheet")
        if one["instead"] is not None and one["instead"] not in plan.sheets:
            what = f"{one['instead']}, which is to be pressed for it, is no sheet of the plan"
            yield Finding(name, what, "a sheet of the plan, or null", "given_up_sheet")
        if one["press"] is not None:
            yield from _kept(one, plan)
        if one["out"] is not None:
            yield from _hands(one, plan)


def _kept(one: Mapping[str, Any], plan: Plan) -> Iterator[Finding]:
    """Its press stays cold and closed, its frame and skins round it, until it is out."""
    since = datetime.fromisoformat(one["since"])
    end = plan.end if one["out"] is None else datetime.fromisoformat(one["out"]["end"])
    name, press = one["sheet"], one["press"]
    for place, start, off in sessions(plan):
        if place == press and start < end and off > since:
            at = max(start, since)
            what = f"{press} is heated from {at.isoformat()} with {name} in it, which is given up"
            yield Finding(
                f"{press} at {at.isoformat()}", what, "heated again once it is out", "given_up_kept", at
            )
    for task in plan.tasks:
        if press in task.places and task.start < end and task.end > since:
            what = f"{press} holds {name}, which is given up, until {end.isoformat()}"
            yield Finding(
                task.where, what, "another press, or later", "given_up_kept", max(task.start, since)
            )
    for sheet in plan.sheets.values():
        prepare, demould = plan.step(sheet.id, "prepare"), plan.step(sheet.id, "demould")
        shared = {one["frame"], one["skins"]} & {sheet.frame, sheet.skins}
        if not shared or prepare is None:
            continue
        if prepare.start < end and (plan.end if demould is None else demould.end) > since:
            what = (
                f"{' and '.join(sorted(shared))} is round {name}, which is given up, until {end.isoformat()}"
            )
            yield Finding(sheet.id, what, "a frame and skins that are free", "given_up_kept", prepare.start)


def _hands(one: Mapping[str, Any], plan: Plan) -> Iterator[Finding]:
    """Whoever takes it out is there, and at nothing else; what it is opened on is nobody else's."""
    out, name = one["out"], one["sheet"]
    start, end = datetime.fromisoformat(out["start"]), datetime.fromisoformat(out["end"])
    if one["cold_from"] is None or start < datetime.fromisoformat(one["cold_from"]):
        yield Finding(
            f"{name} out", "it is taken out before it is cold", "once it is", "given_up_hands", start
        )
    if one.get("ahead"):
        return  # its hands and places are looked at with everybody else's
    for person in out["people"]:
        there = plan.resources[person].present if person in plan.resources else ()
        for away, _ in gaps((start, end), there):
            yield Finding(f"{name} out", f"{person} is not there", "who is present", "given_up_hands", away)
        for task in plan.tasks:
            if person in task.people and task.start < end and task.end > start:
                what = f"{person} takes {name} out until {end.isoformat()}"
                yield Finding(
                    task.where, what, "one thing at a time", "given_up_hands", max(task.start, start)
                )
    for place in out.get("places", ()):
        for task in plan.tasks:
            if place in task.places and task.start < end and task.end > start:
                what = f"{place} is taken by {name}, which is given up, until {end.isoformat()}"
                yield Finding(
                    task.where, what, "another place, or later", "given_up_hands", max(task.start, start)
                )
