"""Charges given up, as a plan's document tells them: what to do with the mould now, and what was done to it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import Any

from flatstock.planning.problem.week import GivenUp, Week

__all__ = ["given_up_documents"]

#: of what the plan before said of the sheet: a later plan reads them again, for what is noted of it yet
KEPT = (
    "order", "plastic", "colour", "thickness_mm", "lots", "charge_kg", "mould_mass_kg", "set_point_C", "dwell_min",
    "dwell_planned_min", "dwell_latest_min", "press_cool_min", "frame", "skins", "condition_h", "due",
)  # fmt: skip


def given_up_documents(week: Week, planned: Collection[str]) -> Iterator[dict[str, Any]]:
    """One entry a charge, by its sheet; `planned`: the sheets that find a time."""
    text = week.clock.text
    for one in sorted(week.given_up, key=lambda one: one.sheet.id):
        one = one if one.instead in planned else replace(one, instead=None)
        done = one.sheet.done
        assert done is not None  # something was noted of it
        yield {
            "sheet": one.sheet.id,
            **{key: done.figures[key] for key in KEPT if key in done.figures},
            "press": one.press,
            "since": text(one.since),
            "written": one.written,
            "call_by": None if one.call_by is None else text(one.call_by),
            "cold_from": None if one.cold is None else text(one.cold),
            "out": None
            if one.out is None
            else {"start": text(one.out.start), "end": text(one.out.end), "people": list(one.people)},
            "instead": one.instead,
            "because": one.because,
            "do": list(_do(week, one)),
            "tasks": [
                {
                    "id": f"{one.sheet.id}-{work.step}", "sheet": one.sheet.id, "step": work.step,
                    "start": text(work.start), "end": text(work.end), "places": list(work.places),
                    "people": list(work.people),
                }
                for work in done.works
            ],
        }  # fmt: skip


def _do(week: Week, one: GivenUp) -> Iterator[str]:
    """What is to be done, sentence by sentence."""
    moment = week.clock.moment
    if one.press is not None:
        if one.call_by is not None:
            when = "at once" if one.call_by <= week.now else f"by {moment(one.call_by):%a %H:%M}"
            yield (
                f"Either call whoever is trained, so that two people with hot_transfer are at {one.press} {when}, write"
                " their hours and plan again: then the sheet is saved."
            )
        yield (
            f"{'Or heaters' if one.call_by is not None else 'Heaters'} of {one.press} off at the isolator"
            f"{' now' if not one.written else ''}, the press stays closed and marked hot, the extract stays on: the"
            f" charge of {one.sheet.id} is given up. Note both: heaters off, and given up (in done.csv: given_up)."
        )
        yield _out(week, one)
    used = "; its flake is used up" if one.sheet.work("weigh") else ""
    yield f"{one.sheet.id} becomes no sheet{used}." + (
        f" {one.instead} is pressed for it." if one.instead else " Nothing is pressed for it in this plan."
    )


def _out(week: Week, one: GivenUp) -> str:
    moment = week.clock.moment
    if one.cold is None:
        return f"When its mould is cold is not known: measure before {one.press} is opened."
    cold = (
        f"By the heat model its mould may be opened from {moment(one.cold):%a %d %b %H:%M} on: measure first"
    )
    if one.out is None:
        return (
            f"{cold}. Nobody is there to take it out in this plan, so {one.press} is not heated again in it."
        )
    return (
        f"{cold}. From {moment(one.out.start):%a %H:%M} to {moment(one.out.end):%H:%M} it is for"
        f" {' and '.join(one.people)} to take it out and open it; only then is {one.press} heated again."
    )
