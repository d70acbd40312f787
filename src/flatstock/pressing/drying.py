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


def drying_notes(plastic: str, process: Process, lots: Iterable[Lot]) -> list[str]:
    """What a charge with such lots has to be told by: bubbles seen, too much water, water that nobody has measured."""
    limit, most = process.max_moisture, rules().wet_charge_share
    if limit is not None:
        most = min(most, limit.value)
    how, sample = how_to_dry(process), "Weigh a sample before and after"
    found = []
    for lot in lots:
        if lot.dry_first:
            found.append(
                f"Dry {lot.id} before it is weighed, {how}: its water has made bubbles. {sample}; press it at no more"
                f" than {100 * most:.2g} % water."
            )
        elif lot.moisture is not None and lot.moisture > most:
            found.append(
                f"Dry {lot.id} before it is weighed, {how}: it holds {100 * lot.moisture:.2g} % water, and"
                f" {plastic.upper()} over {100 * most:.2g} % comes out with bubbles and pitted faces. {sample}."
            )
        elif lot.moisture is None and process.drying_needed:
            found.append(
                f"{plastic.upper()} takes up water from the air, and nobody has measured that of {lot.id}: dry it"
                f" before it is weighed, {how}, or write its moisture_percent in lots.csv. {sample}; press it at no"
                f" more than {100 * most:.2g} % water."
            )
    return found
