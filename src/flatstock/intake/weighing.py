"""Scales: a part of a charge within its tolerance, water as litres of steam, and the book against the scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from flatstock.errors import OutOfRange
from flatstock.flow.moisture import steam_volume
from flatstock.plastics.safety import rules

__all__ = ["Part", "Stock", "Water", "against_scale", "judge_part", "water_of"]

AIR = 101_325.0  #: [Pa]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One lot's part of a charge on the scale."""

    verdict: Literal["right", "short", "over"]
    off: float  #: actual less target [kg]
    tolerance: float  #: of this part [kg]


def judge_part(*, target: float, actual: float, charge: float, tolerance: float, step: float) -> Part:
    """A lot's part of a charge: the charge's tolerance by the part's share, never less than a step of the scale.

    Parameters
    ----------
    target, actual : float
        Of this lot [kg].
    charge, tolerance : float
        The whole charge and what it may be off [kg].
    step : float
        Of the scale [kg].

    >>> judge_part(target=11.74, actual=11.39, charge=11.74, tolerance=0.05, step=0.02).verdict
    'short'
    """
    if not (target > 0 and charge >= target and actual >= 0 and tolerance > 0 and step > 0):
        raise OutOfRange("Masses of a part are positive, and no part is more than its charge.")
    allowed = max(tolerance * target / charge, step)
    off = actual - target
    if abs(off) <= allowed + 1e-9:
        return Part(verdict="right", off=off, tolerance=allowed)
    return Part(verdict="short" if off < 0 else "over", off=off, tolerance=allowed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """What a charge's water does."""

    water: float  #: [kg]
    litres_open: float  #: of steam at the set-point, press open [L]
    litres_pressed: float  #: under pressure [L]; 0: it stays liquid until the press opens
    advice: Literal["press", "dry first"]


def water_of(*, charge: float, moisture: float, set_point: float, pressure: float) -> Water:
    """Water of a charge [kg] with a mass fraction `moisture`, at a set-point [°C] under `pressure` above air [Pa].

    Above the share in the safety rules the charge is dried first: it may not be breathed.

    >>> round(water_of(charge=11.7, moisture=0.003, set_point=190.0, pressure=0.25e6).litres_open)
    74
    """
    if not (charge > 0 and 0 <= moisture < 1):
        raise OutOfRange(f"charge {charge} kg and moisture {moisture} must be positive, moisture below 1.")
    water = charge * moisture
    return Water(
        water=water,
        litres_open=1e3 * steam_volume(water_mass=water, temperature=set_point, pressure=AIR),
        litres_pressed=1e3 * steam_volume(water_mass=water, temperature=set_point, pressure=AIR + pressure),
        advice="dry first" if moisture > rules().wet_charge_share else "press",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A lot by the book and by the scale."""

    book: float  #: [kg]
    scale: float
    off: float  #: scale less book [kg]
    explained: float  #: by the scale's steps over the weighings taken from it [kg]
    verdict: Literal["agrees", "less than on the book", "more than on the book"]


def against_scale(*, received: float, weighed: tuple[float, ...], scale: float, step: float) -> Stock:
    """What a lot should weigh after the weighings taken from it, against what the scale says now; masses and step [kg].

    Each weighing and both weighings of the lot may be off by half a step; all one way at worst, which is what is
    taken as explained. More than that is spilled, mixed up or drawn without a weighing.

    >>> against_scale(received=100.0, weighed=(11.74, 11.74), scale=75.9, step=0.02).verdict
    'less than on the book'
    """
    if received < 0 or scale < 0 or step <= 0 or any(mass < 0 for mass in weighed):
        raise OutOfRange("Masses are not negative, and a scale has a step.")
    book = received - sum(weighed)
    off, explained = scale - book, 0.5 * step * (len(weighed) + 2)
    if abs(off) <= explained + 1e-9:
        verdict: Literal["agrees", "less than on the book", "more than on the book"] = "agrees"
    else:
        verdict = "less than on the book" if off < 0 else "more than on the book"
    return Stock(book=book, scale=scale, off=off, explained=explained, verdict=verdict)
