"""The number that a remedy changes, as it stands for one sheet."""

from __future__ import annotations

from flatstock.actions.fault_evidence import Read
from flatstock.errors import OutOfRange
from flatstock.intake.weighing import water_of
from flatstock.plastics.model import Plastic
from flatstock.pressing.drying import how_to_dry
from flatstock.quality.faults.wedges import same_side
from flatstock.quality.thickness import shims

__all__ = ["numbers", "water_words"]


def numbers(cause: str, read: Read, plastic: Plastic | None) -> str:
    """One sentence with what is on record and what to change it to; empty: nothing on record says it."""
    sheet = read.sheet
    if cause == "moisture":
        return f"Dry it {how_to_dry(None if plastic is None else plastic.process)}."
    if cause in ("dwell_short", "cold_weld", "dwell_long") and sheet.dwell:
        return _dwell(read)
    if cause in ("charge_short", "overcharge"):
        return _charge(read)
    if cause in ("no_following", "opened_hot") and sheet.press_cool:
        return f"Opening: not before {sheet.press_cool / 60:.0f} min after the transfer."
    if cause == "frame_carries" and sheet.thickness_mm:
        low, high = sheet.thickness_mm - 0.5, sheet.thickness_mm - 0.2
        return f"Frame: {low:.1f} to {high:.1f} mm for a sheet of {sheet.thickness_mm:g} mm."
    if cause == "overheated" and sheet.set_point:
        return f"Set-point: {sheet.set_point:.0f} °C, so {sheet.set_point - 10:.0f} °C next."
    if cause == "not_parallel":
        return _shims(read)
    return ""


def water_words(read: Read, moisture: float | None, plastic: Plastic | None) -> str:
    """What the charge's water is as grams and as litres of steam; empty where a number is missing.

    `moisture`: mass fraction that a sample lost; None: as the list of lots has it.
    """
    charge, by = sum(read.lots.values()), ""
    if moisture is None:
        known = [
            (mass, read.shop.lots[lot].moisture) for lot, mass in read.lots.items() if lot in read.shop.lots
        ]
        if not known or all(one is None for _, one in known) or charge <= 0:
            return ""
        moisture, by = sum(mass * (one or 0.0) for mass, one in known) / charge, "By the list of lots "
    if charge <= 0 or not moisture:
        return ""
    water = f"{by}{100 * moisture:.2g} % of {charge:.2f} kg is {1000 * moisture * charge:.0f} g of water"
    process = None if plastic is None else plastic.process
    set_point = read.sheet.set_point or (process.set_point.value if process and process.set_point else None)
    if set_point is None or process is None or process.full_pressure is None:
        return f"{water}."
    try:
        found = water_of(
            charge=charge, moisture=moisture, set_point=set_point, pressure=process.full_pressure.value
        )
    except OutOfRange:
        return f"{water}."
    dry = " Over 0.3 %: it may not be breathed; dry it first." if found.advice == "dry first" else ""
    return (
        f"{water}: {found.litres_open:.0f} L of steam at {set_point:.0f} °C with the press open,"
        f" {found.litres_pressed:.0f} L under full pressure.{dry}"
    )


def _dwell(read: Read) -> str:
    sheet = read.sheet
    loaded, out = read.last("loaded"), read.last("transferred")
    was = f"it was {(out - loaded).total_seconds() / 60:.0f} min; " if loaded and out else ""
    parts = [f"melted through at {(sheet.dwell or 0) / 60:.0f} min"]
    if sheet.dwell_planned:
        parts.append(f"advised {sheet.dwell_planned / 60:.0f} min")
    if sheet.dwell_latest:
        parts.append(f"latest {sheet.dwell_latest / 60:.0f} min")
    return f"Dwell: {was}{', '.join(parts)}."


def _charge(read: Read) -> str:
    """Thickness goes with the charge: m' = m · wanted / mean."""
    wanted, charge = read.sheet.thickness_mm, sum(read.lots.values())
    if read.map is None or not wanted or charge <= 0:
        return "Measure nine points: the charge goes with the mean thickness."
    mean = 1000 * read.map.mean
    return (
        f"Charge: {charge:.2f} kg gave {mean:.2f} mm; {charge * wanted / mean:.2f} kg for {wanted:g} mm,"
        " flash as before."
    )


def _shims(read: Read) -> str:
    press = read.shop.hot_presses.get(read.press or "")
    if read.map is None or press is None:
        return "Measure nine points: the shims follow from the plane through them."
    x, y = shims(read.map, length=press.bottom.length, width=press.bottom.width)
    sides = [
        f"{1000 * abs(off):.2f} mm over {1000 * over:.0f} mm under the {end}"
        for off, over, end in (
            (x, press.bottom.length, "right side" if x > 0 else "left side"),
            (y, press.bottom.width, "back" if y > 0 else "front"),
        )
    ]
    sure = "" if same_side(read.maps) else " Only where the last three sheets agree."
    return f"Shims of the lower platen of {press.id}: {' and '.join(sides)}.{sure}"
