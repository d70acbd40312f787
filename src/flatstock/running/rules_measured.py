"""Numbers of a measured sheet, or of a platen, that nobody can have meant: slips of the hand."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.errors import Fault
from flatstock.running.breach import Breach, slip
from flatstock.running.event import Event
from flatstock.running.rules_lots import SLIP
from flatstock.running.situation import Situation
from flatstock.running.words import kilograms

__all__ = ["measured", "not_so_thick"]

# our own figures: a slip of the decimal sign is ten times off, what really comes out bad is nearer
THINNEST, THICKEST = 0.5, 2.0  # times the wanted thickness
MOST = 1.05  # times what was weighed in, or the side of its frame: nothing grows in a press
PLATENS = (5.0, 300.0)  # [°C] as the board's keypad asks


def measured(event: Event, now: Situation) -> Iterator[Breach]:
    """A thickness, a mass or a size that its charge and its frame don't give; a platen that no press has."""
    if event.kind == "platen_read":
        read = event.facts.get("temperature_C")
        if isinstance(read, int | float) and not PLATENS[0] <= read <= PLATENS[1]:
            low, high = PLATENS
            yield slip(
                event.place or "",
                f"{read:g} °C, where {low:g} to {high:g} °C is expected: a slip of the decimal sign?",
                "read it again",
            )
    if event.kind != "measured":
        return
    wanted = now.sheet(event.sheet or "").thickness_mm
    for point in range(1, 10):
        value = event.facts.get(f"t{point}_mm")
        if wanted and isinstance(value, int | float) and (fault := not_so_thick(point, value, wanted)):
            yield Breach(fault, slip=True)
    yield from _mass(event, now)
    yield from _size(event, now)
    gap, over = event.facts.get("bow_mm"), event.facts.get("bow_over_mm")
    if isinstance(gap, int | float) and isinstance(over, int | float) and gap > over / 4:
        what = f"a gap of {gap:g} mm under {over:g} mm of straightedge: a slip of the decimal sign?"
        yield slip("bow", what, "measure again")


def not_so_thick(point: int, value: float, wanted: float) -> Fault | None:
    """Why a thickness [mm] can't be meant where `wanted` [mm] was pressed; None: it can."""
    if THINNEST * wanted <= value <= THICKEST * wanted:
        return None
    what = f"{value:g} mm at point {point}, where {wanted:g} mm is wanted: a slip of the decimal sign?"
    return Fault("thickness", what, "measure again")


def _mass(event: Event, now: Situation) -> Iterator[Breach]:
    mass, track = event.facts.get("mass_kg"), now.tracks.get(event.sheet or "")
    told = sum(track.weighed.values()) if track is not None else 0.0
    charges = [one for one in (told, now.sheet(event.sheet or "").charge) if one]  # not every lot may be told
    if isinstance(mass, int | float) and charges and not min(charges) / SLIP <= mass <= MOST * max(charges):
        what = f"{mass:g} kg, of a charge of {kilograms(max(charges))}: a slip of the decimal sign?"
        yield slip("mass", what, "weigh the sheet again")


def _size(event: Event, now: Situation) -> Iterator[Breach]:
    track = now.tracks.get(event.sheet or "")
    frame = (track.frame if track is not None else None) or now.sheet(event.sheet or "").frame
    round_it = now.shop.frames.get(frame or "")
    if round_it is None:
        return
    sides = (1000 * round_it.cavity_length, 1000 * round_it.cavity_width)
    for name in ("length_mm", "width_mm"):
        value = event.facts.get(name)
        if isinstance(value, int | float) and not min(sides) / SLIP <= value <= MOST * max(sides):
            what = (
                f"{value:g} mm, from a frame of {max(sides):g} by {min(sides):g} mm: "
                "a slip of the decimal sign?"
            )
            yield slip(name.removesuffix("_mm"), what, "measure again")
