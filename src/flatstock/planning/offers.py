"""Offcuts in store that could stand in for a sheet, and what the sheet that they spare takes.

An order that names offcuts says that together they give the parts of one of its sheets: that saves the sheet. Of
others nobody knows here which parts they give, because orders are stated in sheets: those that fit are told, with
no saving. Offering is all: the plan presses every sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Sheet, Week
from flatstock.times import weekday_date
from flatstock.workshop.shop import Offcut, Order

__all__ = ["Offer", "offer_documents", "offers"]

FITS = 0.5e-3  #: m: an offcut's measured thickness from the order's; our own figure


@dataclass(frozen=True, slots=True)
class Offer:
    """Offcuts of an order's plastic, colour and thickness; `sheet`: the one they stand in for, None: not known."""

    order: str
    offcuts: tuple[Offcut, ...]
    sheet: Sheet | None
    said: str = ""  #: why they don't save a sheet although the order names them

    @property
    def names(self) -> str:
        """Their numbers, in words."""
        ids = [one.id for one in self.offcuts]
        return " and ".join([", ".join(ids[:-1]), ids[-1]] if len(ids) > 1 else ids)


def offers(week: Week, orders: Mapping[str, Order], offcuts: Mapping[str, Offcut]) -> Iterator[Offer]:
    """What could be offered for each order that still has sheets to begin, by its number."""
    named = {name for order in orders.values() for name in order.offcuts}
    for order in sorted(orders.values(), key=lambda order: order.id):
        waiting = [s for s in week.sheets if s.order == order.id and s.done is None]
        if not waiting and order.id not in week.unplaced:
            continue
        if order.offcuts:
            yield _named(order, waiting, offcuts)
        fitting = [one for one in offcuts.values() if one.id not in named and not _unlike(order, one)]
        if fitting:
            yield Offer(order.id, tuple(sorted(fitting, key=lambda one: one.id)), None)


def _named(order: Order, waiting: Sequence[Sheet], offcuts: Mapping[str, Offcut]) -> Offer:
    there = tuple(offcuts[name] for name in order.offcuts if name in offcuts)
    gone = [name for name in order.offcuts if name not in offcuts]
    wrong = [f"{one.id} is {_unlike(order, one)}" for one in there if _unlike(order, one)]
    said = "; ".join([f"{name} is not in store" for name in gone] + wrong)
    last = max(waiting, key=lambda sheet: sheet.id, default=None)
    return Offer(order.id, there, None if said else last, said)


def _unlike(order: Order, one: Offcut) -> str:
    """In which way an offcut is not what the order's sheets are; empty: in none."""
    if one.plastic.lower() != order.plastic.lower():
        return f"{one.plastic.upper()}, not {order.plastic.upper()}"
    if abs(one.thickness - order.thickness) > FITS:
        return f"{one.thickness * 1e3:g} mm thick, not {order.thickness * 1e3:g} mm"
    if one.colour != order.colour:
        return f"{one.colour or 'of no colour on file'}, not {order.colour or 'without one'}"
    return ""


def offer_documents(week: Week, schedule: Schedule, found: Sequence[Offer]) -> list[dict[str, Any]]:
    """The offers as a plan carries them, with what each spared sheet takes in this plan."""
    return [
        {
            "order": one.order,
            "offcuts": [
                {
                    "id": cut.id,
                    "plastic": cut.plastic.lower(),
                    "colour": cut.colour,
                    "thickness_mm": round(cut.thickness * 1e3, 6),
                    "length_mm": round(cut.length * 1e3, 6),
                    "width_mm": round(cut.width * 1e3, 6),
                    "lot": cut.lot,
                }
                for cut in one.offcuts
            ],
            "instead_of": None if one.sheet is None else one.sheet.id,
            "saves": None if one.sheet is None else _saves(week, schedule, one.sheet),
            "text": _words(week, schedule, one),
        }
        for one in found
    ]


def _saves(week: Week, schedule: Schedule, sheet: Sheet) -> dict[str, Any]:
    """What pressing this sheet takes: flake, minutes of the hot press and of hands, heat; one sheet."""
    run, kind = schedule.runs.get(sheet.id), sheet.kind
    found: dict[str, Any] = {
        "sheets": 1, "charge_kg": round(kind.charge, 6), "press_min": None, "hands_min": None,
        "heaters_kWh": round(kind.energy, 2),
    }  # fmt: skip
    if run is not None:
        steps = list(steps_of(week, sheet, run))
        ends = {step.name: step.end for step in steps}
        found["press_min"] = ends["transfer"] - run.load
        found["hands_min"] = sum(step.hands * (step.end - step.start) for step in steps)
    return found


def _words(week: Week, schedule: Schedule, one: Offer) -> str:
    sizes = ", ".join(f"{cut.id} {cut.length * 1e3:g} x {cut.width * 1e3:g} mm" for cut in one.offcuts)
    if one.said:
        return f"{one.order} names offcuts that don't save a sheet of it: {one.said}."
    if one.sheet is None:
        return (
            f"In store and of this order's plastic, colour and thickness: {sizes}. Whether they give parts of it is"
            " for whoever cuts to say; an order whose line names them counts a sheet less."
        )
    saved = _saves(week, schedule, one.sheet)
    words = (
        f"{one.names} ({sizes}) in place of {one.sheet.id} save a sheet: {saved['charge_kg']:.2f} kg of flake"
    )
    if saved["press_min"] is None:
        return f"{words}. This plan finds no time for that sheet."
    words += (
        f", {saved['press_min']} min of the hot press, {saved['hands_min']} min of hands and"
        f" {saved['heaters_kWh']:.1f} kWh or more."
    )
    return f"{words}{_turns(week, schedule, one.sheet)}"


def _turns(week: Week, schedule: Schedule, sheet: Sheet) -> str:
    """Where moulds of its kind are turned more than once on a day, which costs less."""
    groups: dict[date, int] = {}
    sheets = {one.id: one for one in week.sheets}
    for run in schedule.runs.values():
        if sheets[run.sheet].kind.frames == sheet.kind.frames:
            day = week.clock.moment(run.prepare).date()
            groups[day] = groups.get(day, 0) + 1
    twice = [
        f"{weekday_date(day)}" for day, count in sorted(groups.items()) if count > len(sheet.kind.frames)
    ]
    if not twice:
        return " They cost less than pressing it."
    many = len(sheet.kind.frames)
    return (
        f" The plan does without them by turning the {sheet.kind.thickness:g} mm frames ({many} of them) a second time"
        f" on {' and '.join(twice)}; a sheet less costs less than that second turn, by what is saved here."
    )
