"""What stands on each stack tonight: what the board has there now, and what the plan still brings."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from flatstock.actions.resting import carried_at
from flatstock.prints.plan_view import View
from flatstock.running.view import Floor
from flatstock.workshop.shop import Workshop

__all__ = ["Night", "Standing", "tonight"]

Document = Mapping[str, Any]
RESTS = ("stack", "rack")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A mould as it stands in the night."""

    sheet: str
    plastic: str
    thickness_mm: float
    arrives: datetime  #: on the stack
    core_C: float | None  #: when it arrives there; None: not known


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """Where the moulds stand once the working day is over."""

    stacks: Mapping[str, tuple[Standing, ...]]  #: by stack with something on it, lowest first
    apart: Mapping[str, tuple[str, ...]]  #: sheets in every other place that holds one


def tonight(
    plan: Document, floor: Floor | None, begun: Collection[str], shop: Workshop, now: datetime
) -> Night:
    """The night after `now`.

    Parameters
    ----------
    plan
        A `flatstock.plan/1`. Of a mould that it doesn't know nothing can be told: it is left out.
    floor
        None: there are no records, and the plan alone counts.
    begun
        Sheets that were laid into a press, or given up.
    """
    view = View(plan)
    known = {name for name, one in view.by_sheet.items() if one.sheet["thickness_mm"] is not None}
    day = view.day_of(now)
    closing = view.closing(day) if day in view.dates else now
    cores = {one["sheet"]: one["core_at_open_C"] for one in (plan.get("rehearsal") or {}).get("sheets", ())}
    there = {} if floor is None else {one.sheet: place for place in floor.places for one in place.moulds}
    stacks: dict[str, tuple[Standing, ...]] = {}
    apart: dict[str, tuple[str, ...]] = {}
    for place in view.places():
        found = [
            _standing(
                view, one.sheet, one.since, carried_at(shop, str(view.by_sheet[one.sheet].sheet["plastic"]))
            )
            for at in (() if floor is None else floor.places)
            if at.id == place and view.kind[place] in RESTS
            for one in at.moulds
            if one.sheet in known
        ]
        for stay in view.standing(place, closing):
            spot = there.get(stay.sheet)
            gone = stay.sheet in begun and spot is None
            if stay.sheet in known and not gone and (spot is None or spot.kind not in RESTS):
                arrives = stay.start if floor is None else max(stay.start, now)
                found.append(_standing(view, stay.sheet, arrives, cores.get(stay.sheet)))
        if found and view.kind[place] == "stack":
            stacks[place] = tuple(sorted(found, key=lambda one: one.arrives))
        elif found:
            apart[place] = tuple(one.sheet for one in found)
    return Night(stacks=stacks, apart=apart)


def _standing(view: View, sheet: str, arrives: datetime, core: float | None) -> Standing:
    said = view.by_sheet[sheet].sheet
    return Standing(
        sheet=sheet,
        plastic=str(said["plastic"]),
        thickness_mm=float(said["thickness_mm"]),
        arrives=arrives,
        core_C=core,
    )
