"""The plan that is kept in a workshop's folder, and what it says stands where."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.prints.plan_view import STANDS, View

__all__ = ["Standing", "kept_plan", "night_of"]

Document = Mapping[str, Any]
FILE = "plan.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A mould as the plan leaves it for the night."""

    sheet: str
    plastic: str
    thickness_mm: float
    arrives: datetime  #: at the place where it stands
    core_C: float | None  #: as the rehearsal has it when it arrives; None: not rehearsed
    place: str


def kept_plan(folder: Path) -> Document | None:
    """The `flatstock.plan/1` of the folder; None where there is none.

    Raises
    ------
    Refused
        plan.json is something else.
    """
    path = folder / FILE
    try:
        found = json.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        raise Refused(Fault(FILE, f"can't be read ({error})", "plan the week again")) from None
    if not isinstance(found, dict) or found.get("format") != "flatstock.plan/1":
        raise Refused(Fault(FILE, "is no flatstock.plan/1", "plan the week again"))
    return found


def night_of(plan: Document, now: datetime) -> list[Standing]:
    """What stands on a stack once the working day of `now` is over, lowest first; where there is none, elsewhere."""
    view = View(plan)
    day = view.day_of(now)
    if day not in view.dates:
        return []
    closing = view.closing(day)
    cores = {one["sheet"]: one["core_at_open_C"] for one in (plan.get("rehearsal") or {}).get("sheets", ())}
    for kinds in (("stack",), STANDS):
        found = [(stay, place) for place in view.places(*kinds) for stay in view.standing(place, closing)]
        if found:
            break
    return [
        Standing(
            sheet=stay.sheet,
            plastic=str(view.by_sheet[stay.sheet].sheet["plastic"]),
            thickness_mm=float(view.by_sheet[stay.sheet].sheet["thickness_mm"]),
            arrives=stay.start,
            core_C=None if view.kind[place] == "cooling_press" else cores.get(stay.sheet),
            place=place,
        )
        for stay, place in sorted(found, key=lambda one: one[0].start)
    ]
