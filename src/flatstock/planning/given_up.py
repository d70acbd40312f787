"""Charges given up or set aside, as a plan's document tells them: what to do with them, and what was done to them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from flatstock.planning.emptying import Emptied
from flatstock.planning.problem.week import GivenUp, Sheet, Week
from flatstock.times import day_clock

__all__ = ["given_up_documents", "set_aside_documents"]

#: of what the plan before said of the sheet: a later plan reads them again, for what is noted of it yet
KEPT = (
    "order", "plastic", "colour", "thickness_mm", "lots", "charge_kg", "mould_mass_kg", "set_point_C", "dwell_min",
    "dwell_planned_min", "dwell_latest_min", "press_cool_min", "frame", "skins", "condition_h", "due",
)  # fmt: skip


def given_up_documents(
    week: Week, planned: Collection[str], cooling: Mapping[str, Emptied]
) -> Iterator[dict[str, Any]]:
    """One entry a charge, by its sheet; `planned`: the sheets that find a time, `cooling`: how moulds go on that have
    left the hot press."""
    text = week.clock.text
    for one in sorted(week.given_up, key=lambda one: one.sheet.id):
        one = one if one.instead in planned else replace(one, instead=None)
        if (going := cooling.get(one.sheet.id)) is not None:
            yield _cooling_on(week, one, going)
            continue
        yield {
            **_figures(one.sheet),
            "press": one.press,
            "place": one.press,
            "since": text(one.since),
            "written": one.written,
            "call_by": None if one.call_by is None else text(one.call_by),
            "cold_from": None if one.cold is None else text(one.cold),
            "out": None
            if one.out is None
            else {
                "start": text(one.out.start),
                "end": text(one.out.end),
                "people": list(one.people),
                "places": list(one.places),
            },
            "instead": one.instead,
            "because": one.because,
            "do": list(_do(week, one)),
            "tasks": _tasks(week, one.sheet),
            "ahead": [],
        }


def _cooling_on(week: Week, one: GivenUp, going: Emptied) -> dict[str, Any]:
    """The entry of a mould that cools on: it takes its place, frame and skins until it is demoulded."""
    text = week.clock.text
    return {
        "sheet": one.sheet.id,
        **{key: going.figures[key] for key in KEPT if key != "due"},
        "due": one.sheet.done.figures.get("due") if one.sheet.done is not None else None,
        "press": None,
        "place": going.place,
        "since": text(one.since),
        "written": one.written,
        "call_by": None,
        "cold_from": text(going.cold),
        "out": {key: going.out[key] for key in ("start", "end", "people", "places")},
        "instead": one.instead,
        "because": one.because,
        "do": [*_emptying(week, going), _becomes(one)],
        "tasks": list(going.behind),
        "ahead": list(going.ahead),
    }


def _emptying(week: Week, going: Emptied) -> Iterator[str]:
    """What is to be done with a mould that cools on, sentence by sentence."""
    moment = week.clock.moment
    yield (
        f"Its mould stays in {going.place}, closed and marked as given up: it is as hot as any other, and keeps"
        f" its place, frame {going.figures['frame']} and skins {going.figures['skins']} until it is emptied."
    )
    for task in going.ahead:
        if task["step"] == "move":
            to = next(place for place in task["places"] if week.sites[place].kind in ("stack", "rack"))
            yield f"{_when(task)} it is for {' and '.join(task['people'])} to carry it to {to}."
    yield (
        f"By the heat model it may be demoulded from {day_clock(moment(going.cold))} on: measure first."
        f" {_when(going.out)} it is for {' and '.join(going.out['people'])} to take it out and empty it"
        f" ({', '.join(going.out['places'])})."
    )


def _when(task: Mapping[str, Any]) -> str:
    start, end = (datetime.fromisoformat(task[key]) for key in ("start", "end"))
    return f"From {start:%a %H:%M} to {end:%H:%M}"


def set_aside_documents(week: Week, planned: Collection[str]) -> Iterator[dict[str, Any]]:
    """One entry a charge that was weighed, is in no press, and is not pressed in this plan."""
    waiting = [(sheet, lot, f"lot {lot} is held") for sheet, lot in week.put_aside]
    end = day_clock(week.clock.moment(week.end))
    waiting += [
        (sheet, "", f"it finds no time before {end}, where this plan ends")
        for sheet in week.sheets
        if sheet.id not in planned and sheet.done is not None
    ]
    for sheet, lot, because in sorted(waiting, key=lambda one: one[0].id):
        yield {
            **_figures(sheet),
            "because": because,
            "do": list(_apart(sheet, lot)),
            "tasks": _tasks(week, sheet),
        }


def _apart(sheet: Sheet, lot: str) -> Iterator[str]:
    assert sheet.done is not None  # something was noted of it
    if sheet.work("weigh") is not None:
        marked = f"marked {sheet.id}, {f'lot {lot}, held' if lot else 'with its lots'}"
        yield (
            f"Keep its {sheet.done.figures['charge_kg']:g} kg apart in a closed bin {marked}; it does not go back to"
            " the lot."
        )
    if sheet.work("prepare") is not None:
        mould = f"frame {sheet.done.frame} with skins {sheet.done.skins}"
        yield (
            f"It lies in {mould}: empty them into that bin, other sheets need them, and note it set aside on the board"
            " (in done.csv: take back that it was prepared)."
        )
    yield (
        "Released, it is pressed as it was weighed; blocked, it goes where its lot goes."
        if lot
        else "It is pressed as it was weighed once there is time for it."
    )


def _figures(sheet: Sheet) -> dict[str, Any]:
    assert sheet.done is not None  # something was noted of it
    figures = sheet.done.figures
    return {"sheet": sheet.id, **{key: figures[key] for key in KEPT if key in figures}}


def _tasks(week: Week, sheet: Sheet) -> list[dict[str, Any]]:
    """What was done to it."""
    text = week.clock.text
    return [
        {
            "id": f"{sheet.id}-{work.step}", "sheet": sheet.id, "step": work.step, "start": text(work.start),
            "end": text(work.end), "places": list(work.places), "people": list(work.people),
        }
        for work in (sheet.done.works if sheet.done is not None else ())
    ]  # fmt: skip


def _do(week: Week, one: GivenUp) -> Iterator[str]:
    """What is to be done, sentence by sentence."""
    moment = week.clock.moment
    if one.press is not None:
        if one.call_by is not None:
            when = "at once" if one.call_by <= week.now else f"by {moment(one.call_by):%a %H:%M}"
            yield f"Either {one.call} and plan again, all of it {when}: then the sheet is saved."
        yield (
            f"{'Or heaters' if one.call_by is not None else 'Heaters'} of {one.press} off at the isolator"
            f"{' now' if not one.written else ''}, the press stays closed and marked hot, the extract stays on: the"
            f" charge of {one.sheet.id} is given up. Note both: heaters off, and given up (in done.csv: given_up)."
        )
        yield _out(week, one)
    yield _becomes(one)


def _becomes(one: GivenUp) -> str:
    used = "; its flake is used up" if one.sheet.work("weigh") else ""
    return f"{one.sheet.id} becomes no sheet{used}." + (
        f" {one.instead} is pressed for it." if one.instead else " Nothing is pressed for it in this plan."
    )


def _on(one: GivenUp) -> str:
    return f" ({', '.join(one.places)})" if one.places else ""


def _out(week: Week, one: GivenUp) -> str:
    moment = week.clock.moment
    if one.cold is None:
        return f"When its mould is cold is not known: measure before {one.press} is opened."
    cold = f"By the heat model its mould may be opened from {day_clock(moment(one.cold))} on: measure first"
    if one.out is None:
        return (
            f"{cold}. Nobody is there to take it out in this plan, so {one.press} is not heated again in it."
        )
    return (
        f"{cold}. From {moment(one.out.start):%a %H:%M} to {moment(one.out.end):%H:%M} it is for"
        f" {' and '.join(one.people)} to take it out and open it{_on(one)}; only then is {one.press} heated again."
    )
