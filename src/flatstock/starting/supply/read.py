"""supply.toml of a folder, or every fault in it at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from flatstock.errors import Fault, Refused
from flatstock.starting.naming import known_as
from flatstock.starting.own_file import read_own
from flatstock.workshop.spots import Found, Notes
from flatstock.workshop.supply import Supply, supply_of

__all__ = ["read_supply", "without"]

FILE = "supply.toml"


def read_supply(folder: Path) -> tuple[Supply, list[str]]:
    """The supply in a workshop's supply.toml, and what is worth knowing.

    Raises
    ------
    Refused
        There is none, or it has faults: all of them, by line.
    """
    row, notes = read_own(folder, "supply", first=_horse_power)
    supply = None if row is None else supply_of(row, notes)
    if not notes.faults and supply is not None and not supply.loads:
        notes.fault(FILE, 0, "loads", "nothing hangs on this supply", "start each load with [[loads]]")
    if notes.faults or supply is None:
        raise Refused(notes.sorted())
    return supply, notes.warnings


def without(supply: Supply, names: list[str]) -> Supply:
    """The supply with these loads left out.

    Raises
    ------
    Refused
        There is no such load.
    """
    known = [one.id for one in supply.loads]
    gone = set(known_as(names, known, where="--without", none="no load {} here"))
    left = tuple(one for one in supply.loads if one.id not in gone)
    if not left:
        raise Refused(Fault("--without", "nothing is left on the supply", "keep one load"))
    rules = tuple(r for r in supply.rules if r.when not in gone and r.then not in gone)
    return replace(supply, loads=left, rules=rules)


def _horse_power(found: Found, notes: Notes) -> None:
    """Horse power on a plate is what the shaft gives; it is said here in place of "unknown unit"."""
    loads = found.get("loads")
    for entry in loads.value if loads is not None and isinstance(loads.value, list) else []:
        power = entry.value.get("input_kW") if isinstance(entry.value, dict) else None
        if power is None or not isinstance(power.value, str):
            continue
        words = power.value.lower().split()
        if words and words[-1].strip("0123456789.,") in ("hp", "ps", "bhp", "shaft"):
            name = entry.value.get("id")
            path = f"loads.{name.value if name else '?'}.input_kW"
            what = f"{power.value!r} is what the shaft gives, not what the motor draws"
            notes.fault(
                FILE,
                power.line,
                path,
                what,
                "write the electrical kW of the plate, or its amperes: current_A",
            )
            del entry.value["input_kW"]
            entry.value.setdefault("current_A", type(power)(1.0, power.line))
