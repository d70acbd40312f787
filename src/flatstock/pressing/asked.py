"""Whether the numbers of a question can be meant: refused before anything is computed."""

from __future__ import annotations

from math import isfinite

from flatstock.errors import Fault, NoSuchNumber
from flatstock.pressing.questions import CardQuestion

__all__ = ["check_card_question"]

DAY = 24 * 3600.0
LONGEST = 4 * 3600.0  #: s that a dwell is looked at


def check_card_question(question: CardQuestion) -> None:
    """Raise `NoSuchNumber` with a fault for each number that no press, melt or clock can have."""
    faults = []

    def within(
        option: str, value: float | None, low: float, high: float, factor: float, unit: str, usual: str
    ) -> None:
        if value is not None and not (isfinite(value) and low <= value <= high):
            faults.append(
                Fault(
                    where=option,
                    what=f"{value * factor:g} {unit} is not between {low * factor:g} and {high * factor:g} {unit}",
                    instead=f"write {usual}",
                )
            )

    within("--set-point", question.set_point, 50.0, 400.0, 1.0, "°C", "195C")
    within("--full-pressure", question.full_pressure_time, 0.0, LONGEST, 1 / 60, "min", "2min")
    within("--pressure", question.pressure, 100.0, 1e9, 1e-6, "MPa", "0.25MPa")
    within("--viscosity", question.viscosity, 1.0, 1e8, 1e-3, "kPas", "10kPas")
    within("--every", question.every, 60.0, 2 * DAY, 1 / 60, "min", "45min")
    if faults:
        raise NoSuchNumber(faults)
