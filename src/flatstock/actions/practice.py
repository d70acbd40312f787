"""A practice day under way: what a plan says has been done by an hour, as the floor would have noted it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from flatstock.actions.recipes import recipe_in_force
from flatstock.actions.workshops import open_workshop
from flatstock.records.store import open_store
from flatstock.running.event import Event
from flatstock.running.start_checks import START

__all__ = ["begin_day", "busiest", "noted_by"]

#: step to kind of event, and whether the event stands at the step's end; a mould that is demoulded has left its
#: place when the step begins
STEPS = {
    "weigh": ("weighed", True),
    "prepare": ("prepared", True),
    "load": ("loaded", True),
    "transfer": ("transferred", False),
    "move": ("moved", False),
    "demould": ("demoulded", False),
    "trim": ("trimmed", True),
}
ENTERED = {
    "load": ("hot_press",),
    "transfer": ("cooling_press",),
    "move": ("stack", "rack"),
    "trim": ("saw",),
}
DEVICE = "practice"
CHECKED = timedelta(minutes=1)  #: before the first heaters of a day
AHEAD = timedelta(minutes=4)  #: before a transfer: its call is still to come


#: what a setting of the heaters is told as: another set-point like going on
_HEATER_TAPS = {
    "heat_up": "heating_on", "raise": "heating_on", "lower": "heating_on", "off": "heating_off",
}  # fmt: skip


def noted_by(plan: Mapping[str, Any], moment: datetime) -> list[Event]:
    """Everything of a `flatstock.plan/1` that is over at `moment`, as events, in order; ids follow from the plan."""
    return sorted(
        (one for one in (*_checking(plan), *_heating(plan), *_handling(plan)) if one.at <= moment),
        key=lambda one: (one.at, one.id),
    )


def _checking(plan: Mapping[str, Any]) -> Iterator[Event]:
    """The start checks of each day, before its heaters go on."""
    first: dict[date, datetime] = {}
    for one in plan["settings"]:
        at = datetime.fromisoformat(one["start"])
        if one["kind"] == "heat_up" and at < first.get(at.date(), at + AHEAD):
            first[at.date()] = at
    for day, at in sorted(first.items()):
        yield Event(
            id=f"practice checked {day}",
            at=at - CHECKED,
            noted_at=at - CHECKED,
            kind="checked",
            who=_present(plan, at),
            facts={"list": START},
            device=DEVICE,
        )


def _heating(plan: Mapping[str, Any]) -> Iterator[Event]:
    for one in plan["settings"]:
        kind = _HEATER_TAPS.get(one["kind"])
        if kind is None:
            continue
        at = datetime.fromisoformat(one["start"])
        facts = {"set_point_C": one["to_C"]} if kind == "heating_on" and one["to_C"] is not None else {}
        yield Event(
            id=f"practice {kind} {one['place']} {one['start']}",
            at=at,
            noted_at=at,
            kind=kind,
            who=_present(plan, at),
            place=one["place"],
            facts=facts,
            device=DEVICE,
        )


def _handling(plan: Mapping[str, Any]) -> Iterator[Event]:
    kinds = {one["id"]: one["kind"] for one in plan["resources"]}
    sheets = {one["id"]: one for one in plan["sheets"]}
    left: dict[str, str] = {}  #: where each mould stands
    for task in sorted(plan["tasks"], key=lambda one: datetime.fromisoformat(one["start"])):
        if task["step"] not in STEPS:
            continue
        kind, at_end = STEPS[task["step"]]
        at = datetime.fromisoformat(task["end" if at_end else "start"])
        wanted = ENTERED.get(task["step"], ())
        entered = [p for p in task["places"] if kinds.get(p) in wanted and p != left.get(task["sheet"])]
        place = entered[0] if entered else None
        if place is not None:
            left[task["sheet"]] = place
        lifts = [p for p in task["places"] if kinds.get(p) == "lift"]
        facts: dict[str, Any] = {}
        if lifts and kind in ("moved", "demoulded"):
            facts["lift"] = lifts[0]
        parts = sheets[task["sheet"]]["lots"] if kind == "weighed" else [None]
        for part in parts:
            if part is not None:
                facts = {"lot": part["lot"], "mass_kg": part["mass_kg"], "target_kg": part["mass_kg"]}
            yield Event(
                id=f"practice {kind} {task['id']}{' ' + part['lot'] if part else ''}",
                at=at,
                noted_at=at,
                kind=kind,
                who=tuple(task["people"]),
                sheet=task["sheet"],
                place=place,
                facts=dict(facts),
                device=DEVICE,
            )


def _present(plan: Mapping[str, Any], at: datetime) -> tuple[str, ...]:
    """Somebody who may and is there."""
    for one in plan["resources"]:
        if one["kind"] == "person" and "hot_transfer" in one.get("skills", ()):
            for span in one.get("present", ()):
                if datetime.fromisoformat(span["start"]) <= at < datetime.fromisoformat(span["end"]):
                    return (one["id"],)
    return ()


def busiest(plan: Mapping[str, Any]) -> datetime | None:
    """Four minutes before that transfer of the plan's first day at which most moulds stand somewhere."""
    spans = [
        (datetime.fromisoformat(one["start"]), datetime.fromisoformat(one["end"]))
        for one in plan["tasks"]
        if one["step"] in ("dwell", "press_cool", "stack", "rack")
    ]
    transfers = sorted(
        datetime.fromisoformat(one["start"]) - AHEAD for one in plan["tasks"] if one["step"] == "transfer"
    )
    first = [one for one in transfers if one.date() == transfers[0].date()]
    return max(first, key=lambda at: sum(start <= at < end for start, end in spans), default=None)


def begin_day(folder: Path, plan: Mapping[str, Any]) -> datetime | None:
    """Put the first day of a practice workshop under way, unless somebody has noted something there already.

    The moment at which it stands; None: the records hold more than practice, or the plan has no transfer.
    """
    moment = busiest(plan)
    if moment is None:
        return None
    with open_store(folder) as store:
        if any(event.device != DEVICE for _, event in store.events()):
            return None
        known = [event for _, event in store.events()]
        fresh = noted_by(plan, moment)
        if known and [one.id for one in known] != [one.id for one in fresh]:
            return None
        shop = open_workshop(folder)
        made_by = {one["id"]: recipe_in_force(one["id"], plan, shop) for one in plan["sheets"]}
        store.append(fresh, {sheet: one for sheet, one in made_by.items() if one is not None})
    return moment
