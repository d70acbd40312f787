"""Whether answers about a new workshop fit each other, in the words of the questions."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from flatstock.errors import Fault
from flatstock.units import show
from flatstock.workshop.start import StartAnswers

__all__ = ["senseless"]

POWER = (
    1e3,
    200e3,
)  #: of heaters for an area of platen, from what never gets hot to what can't be wired [W/m2]


def senseless(a: StartAnswers, asked: Sequence[str]) -> Fault | None:
    """What doesn't fit about the answer just given (it fills the fields `asked`), or None."""
    check = _CHECKS.get(asked[0])
    return check(a) if check is not None else None


def _power(a: StartAnswers) -> Fault | None:
    sides = 1.0 if a.heated == "both" else 0.5
    area = 2 * sides * a.platen_length * a.platen_width
    least, most = (limit * area for limit in POWER)
    if least <= a.power <= most:
        return None
    platens = f"platens of {_l(a.platen_length, a)} x {_l(a.platen_width, a)}"
    usual = f"{platens} have {least / 1e3:.1f} to {most / 1e3:.0f} kW"
    too = "little" if a.power < least else "much"
    return Fault("", f"{a.power / 1e3:g} kW is too {too}: {usual}", "write the power of all heaters together")


def _sheet(a: StartAnswers) -> Fault | None:
    rim = 2 * a.frame_land
    for side, inside, platen in (
        ("long", a.cavity_length, a.platen_length),
        ("wide", a.cavity_width, a.platen_width),
    ):
        if inside + rim > platen + 1e-9:
            what = (
                f"a frame {_l(inside, a)} {side} inside, with a rim of {_l(a.frame_land, a)} on each side, is larger "
                f"than the platen, {_l(platen, a)} {side}"
            )
            return Fault("", what, f"at most {_l(max(platen - rim, 0.0), a)} fits")
    return None


def _thicknesses(a: StartAnswers) -> Fault | None:
    if not a.frame_thicknesses:
        return None
    thickest = max(a.frame_thicknesses) + 2 * a.skin_thickness
    if thickest < a.daylight:
        return None
    frame = f"a frame of {_l(max(a.frame_thicknesses), a)}"
    what = f"{frame} with its skins doesn't go into a press that opens {_l(a.daylight, a)}"
    return Fault("", what, "write thinner frames")


def _scale(a: StartAnswers) -> Fault | None:
    if 0 < a.scale_step < a.scale_capacity:
        return None
    step, load = (show(mass, "mass", a.units) for mass in (a.scale_step, a.scale_capacity))
    what = f"a step of {step} is no step of a scale for {load}"
    return Fault("", what, "write the largest load first, then the step")


def _door(a: StartAnswers) -> Fault | None:
    if a.door_height > a.room_height:
        what = f"a door {_l(a.door_height, a)} high is higher than the room, {_l(a.room_height, a)}"
        return Fault("", what, "write its width first, then its height")
    if a.door_width > a.room_width:
        what = f"a door {_l(a.door_width, a)} wide is wider than the wall it is put in, {_l(a.room_width, a)}"
        return Fault("", what, "write its width first, then its height")
    return None


def _l(metres: float, a: StartAnswers) -> str:
    return show(metres, "length", a.units)


_CHECKS: dict[str, Callable[[StartAnswers], Fault | None]] = {
    "power": _power,
    "cavity_length": _sheet,
    "frame_thicknesses": _thicknesses,
    "scale_capacity": _scale,
    "door_width": _door,
}
