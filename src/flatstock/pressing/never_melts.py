"""Why a charge never melts through in its press, and what would melt it: each way tried by the same model."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from flatstock.errors import Fault
from flatstock.evidence import Value
from flatstock.heat.pile import Until
from flatstock.heat.press import HotPress, Mould
from flatstock.plastics.safety import check_pressable

if TYPE_CHECKING:
    from flatstock.pressing.heating import Heating

__all__ = ["why_never", "why_unsure"]

LONGER = 48 * 3600.0  #: s after which every press has come to rest
SWITCHING = 2 * 3600.0  #: s at its end that are looked at: platens switched on and off never quite rest
STEP = 5.0  #: K between the set-points that are tried
THINNER, THINNEST = 0.5e-3, 2e-3  #: m between the thicknesses that are tried, and the last of them
SHORT = 4.0  #: K under its set-point and band at which a platen counts as too weakly heated
#: film behind a platen with 30 to 50 mm of insulation and nothing else; docs/heat.md, "Hot press", assumed
INSULATED = Value(1.5, 1.0, 2.0, "assumed", "docs/heat.md", "W/m2K")
STRONGER = (1.5, 2.0, 3.0, 4.0)  #: times the heaters that there are
CELLS, PLATEN_CELLS, TOLERANCE = 24, 4, 0.5


@dataclass(frozen=True, slots=True)
class _Rest:
    """Press and mould when nothing but the thermostats changes any more."""

    coldest: float  #: [°C]
    place: str  #: of the coldest point
    sensors: tuple[float, float]  #: hottest that they get [°C]
    lost: tuple[float, float]  #: from back and rim of each platen [W]
    reached: float | None  #: when the coldest point came to the target after all [s]


def why_never(heating: Heating, press: HotPress, mould: Mould, *, after: float) -> Fault:
    """The fault of a charge that is not melted through `after` so many seconds, standing as it does then.

    Among many charges, as on a chart, in words that are the same for all of them, and no way is tried.
    """
    heated = _heated(heating)
    only = f", heated from {'below' if heated[0] else 'above'} only" if sum(heated) == 1 else ""
    if heating.quick:
        what = f"{heating.shop_press.id}{only}{',' * bool(only)} does not melt it through within {after / 3600:.0f} h"
        return Fault(where="the dwell", what=what, instead="ask for its card, which says what would")
    rest = _at_rest(heating, press, mould, after)
    one = f"{heating.plastic.id.upper()} {heating.thickness * 1e3:g} mm"
    if rest.reached is not None:
        what = (
            f"{one} in {heating.shop_press.id}{only}, with platens at {heating.set_point:.0f} °C, is melted through"
            f" after {rest.reached / 3600:.1f} h only, and a dwell is looked at for {after / 3600:.0f} h"
        )
    else:
        what = (
            f"{one} never melts through in {heating.shop_press.id}{only}: with platens at {heating.set_point:.0f} °C"
            f" its coldest point, {rest.place}, levels off at {rest.coldest:.0f} °C and would need"
            f" {heating.target:.0f} °C; {_because(heating, rest)}"
        )
    ways = list(_ways(heating, after))
    nothing = "press another plastic here: neither more heat nor a thinner sheet would do"
    instead = "what would melt it: " + ", or ".join(ways) if ways else nothing
    return Fault(where="the dwell", what=what, instead=instead)


def why_unsure(heating: Heating, *, share: float, after: float) -> Fault:
    """The fault of a charge that melts through by typical inputs, and in `share` of the cases in its bands does not.

    What is offered melts it in half the typical time: heat to spare. On a chart no way is tried.
    """
    heated = _heated(heating)
    only = f", heated from {'below' if heated[0] else 'above'} only" if sum(heated) == 1 else ""
    cases = f"in {100 * share:.0f} of 100 computed cases"
    if heating.quick:
        what = f"{heating.shop_press.id}{only}{',' * bool(only)} is not sure to melt it within {after / 3600:.0f} h"
        return Fault("the dwell", what, "ask for its card, which says what would")
    typical = heating.melt_history.time
    what = (
        f"{heating.plastic.id.upper()} {heating.thickness * 1e3:g} mm is not sure to melt through in"
        f" {heating.shop_press.id}{only}: {cases} its core is raw after {after / 3600:.0f} h with platens at"
        f" {heating.set_point:.0f} °C, and where it melts the middle is {typical / 60:.0f} min, so that no dwell can be"
        " told by which it surely has"
    )
    ways = list(_ways(heating, typical / 2))
    trial = (
        "or cut trial sheets open in the middle, and write the dwell that melts them through as dwell_min for it under"
        " [practice] in shop.toml"
    )
    return Fault(
        "the dwell",
        what,
        f"what would melt it in half that time: {', or '.join(ways)}; {trial}" if ways else trial[3:],
    )


def _heated(heating: Heating) -> tuple[bool, bool]:
    press = heating.shop_press
    return press.power_bottom.value > 0, press.power_top.value > 0


def _at_rest(heating: Heating, press: HotPress, mould: Mould, after: float) -> _Rest:
    until = Until(kind="coldest_above", level=heating.target)
    stood, _, outcome = press.hold(mould, duration=LONGER, until=until, loaded=False, tolerance=0.2)
    history = outcome.history
    last = history.time >= history.time[-1] - SWITCHING
    sheet = outcome.pile.layers[2].temperature
    at = int(np.argmin(sheet))
    place = "in its middle" if 0 < at < len(sheet) - 1 else f"at its {'upper' if at else 'lower'} face"
    outer = np.mean(history.power[last, 2:4], axis=0)
    rims = [
        stood.rim_film * (platen.area_ratio - 1) * (float(platen.temperature[inner]) - stood.room)
        for platen, inner in ((stood.lower, -1), (stood.upper, 0))
    ]
    low, high = (float(np.max(history.sensor[last, side])) for side in range(2))
    back, front = ((float(outer[side]) + rims[side]) * heating.mould.area for side in range(2))
    return _Rest(
        coldest=float(np.max(history.coldest[last, 0])),
        place=place,
        sensors=(low, high),
        lost=(back, front),
        reached=after + outcome.time if outcome.reached else None,
    )


def _because(heating: Heating, rest: _Rest) -> str:
    """What brings too little heat, or takes it."""
    press, heated = heating.shop_press, _heated(heating)
    names, powers = ("lower", "upper"), (press.power_bottom.value, press.power_top.value)
    weak = [
        side for side in range(2)
        if heated[side] and rest.sensors[side] < heating.set_point - press.band - SHORT
    ]  # fmt: skip
    if weak:
        each = " and ".join(
            f"{powers[side] / 1e3:g} kW hold the {names[side]} platen at {rest.sensors[side]:.0f} °C only"
            for side in weak
        )
        return f"at full power {each}"
    if all(heated):
        return "its edges and the frame lose as much heat as the platens bring"
    cold = 1 if heated[0] else 0
    return (
        f"the {names[cold]} platen has no heaters and comes to {rest.sensors[cold]:.0f} °C, where its back and rim give"
        f" the room as much heat as gets through the sheet, {rest.lost[cold] / 1e3:.2g} kW"
    )


def _ways(heating: Heating, longest: float) -> Iterator[str]:
    """What would melt it, each with the time that it takes."""
    press = heating.shop_press
    heated = _heated(heating)
    bottom, top = press.power_bottom, press.power_top
    if sum(heated) == 1:
        power = bottom if heated[0] else top
        both = replace(press, power_bottom=power, power_top=power)
        if said := _melts(replace(heating, shop_press=both), longest):
            yield f"the same heaters in the other platen too{said}"
        insulated = replace(press, loss=None, back_film=INSULATED)
        if said := _melts(replace(heating, shop_press=insulated), longest):
            yield f"30 to 50 mm of insulation behind the platens{said}"
    for times in STRONGER:
        stronger = replace(press, power_bottom=_times(bottom, times), power_top=_times(top, times))
        if said := _melts(replace(heating, shop_press=stronger), longest):
            yield f"heaters of {(bottom.value + top.value) * times / 1e3:.2g} kW in all{said}"
            break
    hotter = heating.set_point + STEP
    while _allowed(heating, hotter):
        if said := _melts(replace(heating, set_point=hotter), longest):
            yield f"a set-point of {hotter:.0f} °C{said}"
            break
        hotter += STEP
    if found := _thinner(heating, longest):
        yield f"a sheet of {found[0] * 1e3:g} mm or less{found[1]}"


def _times(power: Value, times: float) -> Value:
    return power.mapped(lambda watts: watts * times, unit="W")


def _allowed(heating: Heating, set_point: float) -> bool:
    highest = min(
        (one for one in (heating.shop_press.highest_platen, _bears(heating)) if one is not None), default=None
    )
    return (highest is None or set_point <= highest) and not check_pressable(
        heating.plastic, set_point, None, None
    )


def _bears(heating: Heating) -> float | None:
    """The highest set-point of every plastic in the charge [°C]."""
    value = heating.process.highest_set_point
    return None if value is None else value.value


def _thinner(heating: Heating, longest: float) -> tuple[float, str] | None:
    """The thickest of the thinner sheets that melts through: by halving, for thicker is never sooner."""
    low, high = round(THINNEST / THINNER), ceil(heating.thickness / THINNER - 1e-6)
    found: tuple[float, str] | None = None
    while low < high:
        middle = (low + high) // 2
        tried = middle * THINNER
        thinner = replace(heating, thickness=tried, mass=heating.mass * tried / heating.thickness)
        if said := _melts(thinner, longest):
            found, low = (tried, said), middle + 1
        else:
            high = middle
    return found


def _melts(heating: Heating, longest: float) -> str:
    """When by a coarse run it is melted through, in brackets; empty: not within the longest dwell."""
    press, mould = heating.loaded(CELLS, PLATEN_CELLS)
    until = Until(kind="coldest_above", level=heating.target)
    _, _, outcome = press.hold(
        mould, duration=longest, until=until, activation=heating.activation, tolerance=TOLERANCE
    )
    if not outcome.reached:
        return ""
    time = f"{outcome.time / 60:.0f} min" if outcome.time < 7200 else f"{outcome.time / 3600:.1f} h"
    spent = ", longer than its face is taken to bear" if outcome.dose > heating.face_levels[0] else ""
    return f" ({time}{spent})"
