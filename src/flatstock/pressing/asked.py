"""Whether the numbers of a question can be meant: refused before anything is computed."""

from __future__ import annotations

from math import isfinite

from flatstock.errors import Fault, NoSuchNumber
from flatstock.pressing.questions import LONGEST_DWELL, CardQuestion, StackQuestion
from flatstock.workshop.layouts import layout

__all__ = ["check_card_question", "check_stack_question"]

DAY = 24 * 3600.0


def check_card_question(question: CardQuestion) -> None:
    """Raise `NoSuchNumber` with a fault for each number that no press, melt or clock can have."""
    _refuse(
        _within("--set-point", question.set_point, 50.0, 400.0, 1.0, "°C", "195C"),
        _within("--full-pressure", question.full_pressure_time, 0.0, LONGEST_DWELL, 1 / 60, "min", "2min"),
        _within("--pressure", question.pressure, 100.0, 1e9, 1e-6, "MPa", "0.25MPa"),
        _within("--gauge", question.gauge, 1e3, 1e9, 1e-5, "bar", "150bar"),
        _within("--viscosity", question.viscosity, 1.0, 1e8, 1e-3, "kPas", "10kPas"),
        _within("--footprint", question.footprint, 0.02, 1.0, 100.0, "%", "50%"),
        _within("--every", question.every, 60.0, 2 * DAY, 1 / 60, "min", "45min"),
    )


def check_stack_question(question: StackQuestion) -> None:
    """Raise `NoSuchNumber` for a room that shop.toml could not have either."""
    room = layout("shop").table.by_name["room_C"]
    assert room.low is not None
    assert room.high is not None
    _refuse(_within("--room", question.room, room.low, room.high, 1.0, "°C", "18C"))


def _within(
    option: str, value: float | None, low: float, high: float, factor: float, unit: str, usual: str
) -> Fault | None:
    if value is None or (isfinite(value) and low <= value <= high):
        return None
    what = f"{value * factor:g} {unit} is not between {low * factor:g} and {high * factor:g} {unit}"
    return Fault(where=option, what=what, instead=f"write {usual}")


def _refuse(*found: Fault | None) -> None:
    if faults := [fault for fault in found if fault is not None]:
        raise NoSuchNumber(faults)
