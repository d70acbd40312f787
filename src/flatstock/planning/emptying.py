"""Moulds that cool on though their charge is given up: where each is, and how it comes to be empty."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.warmth import ends_after
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["Emptied", "emptied"]

Document = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Emptied:
    """How one of them goes on."""

    figures: Document  #: what is said of its sheet
    place: str  #: where it is now
    cold: int  #: minute from which on it may be demoulded
    out: Document  #: its demould
    behind: Sequence[Document]  #: what was done to it, and where it stayed
    ahead: Sequence[Document]  #: what is still to come of it, stays too, in order


def emptied(
    week: Week,
    schedule: Schedule,
    figures: Mapping[str, Document],
    tasks: Sequence[Document],
    warmth: Mapping[str, int],
) -> dict[str, Emptied]:
    """By sheet; `figures` and `tasks` as the document has them, `warmth` of the plates that each mould found."""
    found = {}
    for sheet in week.sheets:
        if not sheet.lost:
            continue
        own = [task for task in tasks if task["sheet"] == sheet.id]
        begun = {work.step for work in sheet.done.works} if sheet.done is not None else set()
        now = week.clock.moment(week.now)
        ahead = [
            task for task in own if task["step"] not in begun and datetime.fromisoformat(task["end"]) > now
        ]
        found[sheet.id] = Emptied(
            figures=figures[sheet.id],
            place=_place(week, sheet),
            cold=_cold(week, schedule, sheet, warmth[sheet.id]),
            out=next(task for task in own if task["step"] == "demould"),
            behind=[task for task in own if task not in ahead],
            ahead=ahead,
        )
    return found


def _place(week: Week, sheet: Sheet) -> str:
    work = sheet.work("move") or sheet.work("transfer")
    assert work is not None  # it has left the hot press
    kinds = ("stack", "rack") if work.step == "move" else ("cooling_press",)
    return next((place for place in work.places if week.sites[place].kind in kinds), "")


def _cold(week: Week, schedule: Schedule, sheet: Sheet, warmth: int) -> int:
    """When it may be demoulded where the plan has it then."""
    run, gone, moved = schedule.runs[sheet.id], sheet.work("transfer"), sheet.work("move")
    assert gone is not None  # it has left the hot press
    if run.stay is None:
        return min(run.demould, gone.end + ends_after(sheet, run.cooling, warmth))
    laid = run.leave + week.times.move if moved is None else moved.end
    return min(run.demould, laid + sheet.rests(run.stay))
