"""What a test's result does: its number goes into the list of lots, a lot that failed is blocked or held."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from flatstock.actions.lot_book import give_status
from flatstock.actions.lot_tests import SHORT
from flatstock.actions.setting_up import change, sheaf_of
from flatstock.errors import Fault, Refused
from flatstock.running.event import Event
from flatstock.workshop.shop import Workshop

__all__ = ["write_down"]

#: a result that no sorting and drying mends: the lot is blocked where it fails
_FATAL = {"bromine": "bromine found", "chlorine": "chlorine found: it may hold PVC"}
#: the column of the list of lots that a test's number belongs in
_COLUMNS = {"moisture": "moisture_percent", "bulk_density": "bulk_density_kg_m3"}


def write_down(folder: Path, shop: Workshop, event: Event, *, device: str | None = None) -> tuple[Fault, ...]:
    """What follows from a test's result: its number in the list of lots, a lot blocked or held.

    A result of bromine or chlorine that is not clear blocks the lot. Any other failed test holds a released one,
    but for moisture: wet flake is dried, and no card lets it be breathed.
    """
    lot, test = shop.lots[str(event.facts["lot"])], str(event.facts["test"])
    failed, number = event.facts.get("result") == "failed", event.facts.get("number")
    cells: dict[str, str] = {}
    if test in _COLUMNS and isinstance(number, int | float):
        cells[_COLUMNS[test]] = f"{number:.6g}"
    if test == "bromine":
        cells["bromine"] = "found" if failed else "clear"
    faults = _write(folder, lot.id, cells, event) if cells else ()
    if faults or not failed:
        return faults
    short = SHORT.get(test, test.replace("_", " "))
    why = _FATAL.get(test) or f"{short} failed: {event.facts.get('found') or 'see the test'}"
    if test in _FATAL and lot.status != "blocked":
        give_status(folder, lot.id, "blocked", at=event.at, who=event.who, why=why, device=device)
    elif test != "moisture" and lot.status == "released":
        give_status(folder, lot.id, "quarantine", at=event.at, who=event.who, why=why, device=device)
    return ()


def _write(folder: Path, lot: str, cells: Mapping[str, str], event: Event) -> tuple[Fault, ...]:
    entry = next((one for one in sheaf_of(folder, "lots").entries if one.title == lot), None)
    if entry is None:
        raise Refused(Fault(lot, "it is no longer in the list of lots", "open the list again"))
    test = str(event.facts["test"])
    why = f"tested: {SHORT.get(test, test.replace('_', ' '))}"
    return change(folder, "lots", entry.at, entry.of, cells, at=event.at, who=event.who, why=why)
