"""Why a number is what it is, ready for a page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flatstock.prints.shown import Shown
from flatstock.prints.text.why import input_words, now_words
from flatstock.prints.words import KIND_WORDS

__all__ = ["Given", "Reason", "reasons_of"]

Document = Mapping[str, Any]
TITLES = {
    "net_charge_kg": "Net charge",
    "charge_kg": "Charge",
    "heap_mm": "Height of the heap",
    "hot_level_mm": "Level of the melt, net charge",
    "hot_level_charge_mm": "Level of the melt, whole charge",
    "proud_mm": "Melt over the frame",
    "cold_length_mm": "Length of the cold sheet",
    "cold_width_mm": "Width of the cold sheet",
    "dwell_min": "Melted through",
    "dwell_latest_min": "Latest dwell",
    "dwell_advised_min": "Advised dwell",
    "platen_dip_C": "Dip of the platens",
    "energy_kWh": "Energy",
    "flash_kg": "Flash",
    "sheet_thickness_mm": "Thickness of the sheet",
    "press_cool_min": "Time in the cooling press",
    "flakes": "Flakes to look through",
    "sample_g": "What they weigh",
    "bound_percent": "No more than",
    "recycled_percent": "Recycled content",
    "without_regrind_percent": "Own regrind left out",
    "water_g": "Water",
    "steam_open_L": "Steam with the press open",
    "steam_pressed_L": "Steam under pressure",
}


@dataclass(frozen=True, slots=True)
class Given:
    """One input."""

    name: str
    value: str
    evidence: str
    where: str
    share: str  #: of the band, empty where it is small or not known


@dataclass(frozen=True, slots=True)
class Reason:
    """One number: its formula, its inputs with the one that the band comes from first, its source."""

    of: str  #: the field of the document
    title: str
    now: str
    formula: str
    source: str
    note: str
    inputs: tuple[Given, ...]


def reasons_of(document: Document, shown: Shown) -> list[Reason]:
    """Every reason that the document gives."""
    return [_reason(document, one, shown) for one in document.get("why", ())]


def _reason(document: Document, reason: Document, shown: Shown) -> Reason:
    of = str(reason["of"])
    inputs = sorted(reason["inputs"], key=lambda one: -(one.get("band_share") or 0.0))
    return Reason(
        of=of,
        title=str(reason.get("title") or TITLES.get(of, of)),
        now=now_words(document, of, shown),
        formula=shown.prose(str(reason["formula"])),
        source=shown.prose(str(reason["source"])),
        note=shown.prose(str(reason.get("note") or "")),
        inputs=tuple(_given(one, shown) for one in inputs),
    )


def _given(one: Document, shown: Shown) -> Given:
    share = one.get("band_share") or 0.0
    kind = str(one.get("kind") or "")
    note = f"; {one['note']}" if one.get("note") else ""
    return Given(
        name=str(one["name"]),
        value=input_words(one, shown),
        evidence=KIND_WORDS.get(kind, kind),
        where=shown.prose(f"{one.get('source') or ''}{note}"),
        share=f"{share:.0%}" if share >= 0.005 else "",
    )
