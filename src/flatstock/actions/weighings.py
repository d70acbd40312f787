"""What a weighing of a planned sheet is held to: its target, what it may be off by, and what that is in thickness."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flatstock.workshop.shop import Workshop

__all__ = ["Weighing", "weighing_of"]

USUAL_STEP = 0.01  #: kg, where no scale is on file


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """Of one sheet's charge [kg]; a part of it is judged by `intake.weighing.judge_part`."""

    per_mm: float  #: kilograms that a millimetre of the sheet weighs
    charge: float
    tolerance: float  #: of the whole charge
    step: float  #: of the smallest scale that takes it


def weighing_of(shop: Workshop, sheet: Mapping[str, Any]) -> Weighing:
    """Of a sheet of a `flatstock.plan/1`: the shop's tolerance of thickness as mass, never less than a scale's step."""
    charge = float(sheet["charge_kg"])
    per_mm = charge / float(sheet["thickness_mm"])
    fits = [one for one in shop.scales if one.capacity >= charge] or list(shop.scales)
    step = min((one.step for one in fits), default=USUAL_STEP)
    tolerance = max(per_mm * shop.practice.thickness_tolerance * 1000, step)
    return Weighing(per_mm=round(per_mm, 4), charge=charge, tolerance=round(tolerance, 4), step=step)
