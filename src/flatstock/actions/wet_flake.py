"""Flake that holds more water than a charge may be breathed with: what that does at the press, in words."""

from __future__ import annotations

from flatstock.actions.looking_through import WaterAsked, steam_of, usual_charge
from flatstock.plastics.library import library
from flatstock.plastics.overrides import with_overrides
from flatstock.plastics.safety import rules
from flatstock.pressing.drying import how_to_dry
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["USUAL", "drying_words", "is_wet", "steam_words"]

USUAL = (11.7, 190.0)  #: kg, °C: where the shop has neither frame nor plastic to go by


def is_wet(moisture: float | None) -> bool:
    """Whether flake with that mass fraction of water is above what a charge may be breathed with."""
    return moisture is not None and moisture > rules().wet_charge_share


def steam_words(shop: Workshop, lot: Lot, moisture: float) -> str:
    """What a mass fraction of water does in a usual charge of the lot, pressed as the shop does; empty: not wet."""
    if not is_wet(moisture):
        return ""
    charge, point = usual_charge(shop, lot.plastic) or USUAL
    pressure = shop.practice.full_pressure.value
    steam = steam_of(WaterAsked(charge=charge, moisture=moisture, set_point=point, pressure=pressure))
    return (
        f"over the {100 * rules().wet_charge_share:g} % above which breathing is refused: a charge of {charge:.4g} kg"
        f" makes {steam['steam_open_L']:.0f} L of steam at {point:.0f} °C, {steam['steam_pressed_L']:.0f} L of it"
        f" at {pressure / 1e6:g} MPa in the closed mould"
    )


def drying_words(shop: Workshop, plastic: str) -> str:
    """How long and how warm a plastic is dried."""
    known = with_overrides(library(), shop.plastic_overrides).get(plastic.lower())
    return how_to_dry(None if known is None else known.process)
