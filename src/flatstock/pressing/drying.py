"""Lots that are dried before they are weighed: said on the card, in the plan, and asked at the scale."""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.plastics.model import Process
from flatstock.plastics.safety import rules
from flatstock.workshop.shop import Lot

__all__ = ["drying_notes", "how_to_dry"]


def how_to_dry(process: Process | None) -> str:
    """Hours and temperature of a plastic; where its data are silent, the trade's usual ones for a trial.

    >>> how_to_dry(None)
    '4 h at 80 °C where the plastic bears it (common practice, no source)'
    """
    if process is None or process.drying_time is None or process.drying_temperature is None:
        return "4 h at 80 °C where the plastic bears it (common practice, no source)"
    hours, degrees = process.drying_time.value / 3600, process.drying_temperature.value
    return f"{hours:g} h at {degrees:.0f} °C"


def drying_notes(process: Process, lots: Iterable[Lot]) -> list[str]:
    """What a charge with such lots has to be told by."""
    limit, most = process.max_moisture, rules().wet_charge_share
    if limit is not None:
        most = min(most, limit.value)
    return [
        f"Dry {lot.id} before it is weighed, {how_to_dry(process)}: its water has made bubbles. Weigh a sample before"
        f" and after; press it at no more than {100 * most:.2g} % water."
        for lot in lots
        if lot.dry_first
    ]
