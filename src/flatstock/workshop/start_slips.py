"""What nobody can mean when a workshop is started: a slip of the unit or of the decimal sign, told at its question.

The bounds are far outside of what a shop that presses sheets has; our own figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from flatstock.errors import Fault
from flatstock.units import show
from flatstock.workshop.start_answers import StartAnswers

__all__ = ["slips"]

#: field: what it is, its dimension, the least and the most [SI, °C]
_MEANT: Mapping[str, tuple[str, str, float, float]] = MappingProxyType(
    {
        "room": ("a room is", "temperature", -30.0, 60.0),
        "platen_length": ("a platen is", "length", 0.1, 6.0),
        "platen_width": ("a platen is", "length", 0.1, 6.0),
        "platen_thickness": ("a platen is", "length", 0.003, 0.3),
        "power": ("heaters of a press draw", "power", 200.0, 500e3),
        "daylight": ("a press opens", "length", 0.01, 3.0),
        "cavity_length": ("a frame is", "length", 0.02, 6.0),
        "cavity_width": ("a frame is", "length", 0.02, 6.0),
        "scale_capacity": ("a scale takes", "mass", 0.2, 5000.0),
        "volts": ("a connection has", "voltage", 90.0, 1000.0),
        "rated_current": ("it is rated for", "current", 5.0, 6000.0),
        "room_length": ("a room is", "length", 1.5, 300.0),
        "room_width": ("a room is", "length", 1.5, 300.0),
        "room_height": ("a room is", "length", 1.8, 30.0),
        "door_width": ("a door is", "length", 0.5, 12.0),
        "door_height": ("a door is", "length", 1.5, 12.0),
    }
)
_THINNEST, _THICKEST = 0.0005, 0.1  # of a frame [m]
_STEPS = 4  #: a scale shows at least so many steps
_SIDES = ("cavity_length", "cavity_width", "platen_length", "platen_width")


def slips(answers: StartAnswers) -> list[Fault]:
    """One fault for each answer that can't be meant, named by its field; sizes as the shop reads them."""
    units = answers.units
    found = []
    for name, (what, dimension, least, most) in _MEANT.items():
        value = getattr(answers, name)
        if not least <= value <= most:
            low, high = show(least, dimension, units), show(most, dimension, units)
            said = show(value, dimension, units)
            found.append(Fault(name, f"{said} can't be meant: {what} {low} to {high}", "look at its unit"))
    for thick in answers.frame_thicknesses:
        if not _THINNEST <= thick <= _THICKEST:
            said = show(thick, "length", units)
            found.append(
                Fault("frame_thicknesses", f"{said} can't be meant as thickness", "look at its unit")
            )
    if answers.scale_step * _STEPS > answers.scale_capacity:
        step, whole = (show(one, "mass", units) for one in (answers.scale_step, answers.scale_capacity))
        found.append(
            Fault("scale_step", f"steps of {step} on a scale that takes {whole}", "look at its unit")
        )
    if not any(one.where in _SIDES for one in found):
        found += _overhanging(answers)
    return found


def _overhanging(answers: StartAnswers) -> list[Fault]:
    """A frame that is larger than the platens."""
    outside = [side + 2 * answers.frame_land for side in (answers.cavity_length, answers.cavity_width)]
    platen = [answers.platen_length, answers.platen_width]
    if all(side <= there + 1e-9 for side, there in zip(outside, platen, strict=True)):
        return []
    frame, hot = (" x ".join(show(one, "length", answers.units) for one in of) for of in (outside, platen))
    rim = show(answers.frame_land, "length", answers.units)
    what = f"the frame ({frame} with its rim of {rim}) fits no hot press's platens (HP1 {hot})"
    instead = (
        "it has to lie on the platens with all of its rim: write a smaller sheet, or the platen's true size"
    )
    return [Fault("cavity_length", what, instead)]
