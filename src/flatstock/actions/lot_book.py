"""Lots of flake: take a new one in, hold or release one, count it; each with who, when and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Literal
from uuid import uuid4

from flatstock.actions.board import lot_faults
from flatstock.actions.living import begin_records
from flatstock.actions.lot_tests import not_yet
from flatstock.actions.setting_up import change
from flatstock.actions.workshops import open_workshop
from flatstock.errors import Fault, Refused
from flatstock.records import events, open_store
from flatstock.records.lots import StatusEntry, history
from flatstock.running.event import Event
from flatstock.workshop.shop import Workshop

__all__ = ["STATUSES", "Status", "StatusEntry", "count_lot", "enter_lot", "give_status", "lot_history"]

Status = Literal["quarantine", "released", "blocked", "empty"]

#: status and the kind of event that gives it
STATUSES: Mapping[Status, str] = {
    "quarantine": "quarantined",
    "released": "released",
    "blocked": "blocked",
    "empty": "emptied",
}


def enter_lot(
    folder: Path, said: Mapping[str, str], *, at: datetime, who: Sequence[str], why: str
) -> tuple[Fault, ...]:
    """Take a new lot in, in one transaction; the faults that the list would have then. Empty: it is on record.

    Parameters
    ----------
    said
        What a form says, by the names of the list's columns ("id", "plastic", "mass_kg", "origin", "status", …; see
        the layout of lots.csv), as text with units and commas as people write them. What is left empty is as its
        layout says. A name that the list has no column for is passed over.
    """
    name = said.get("id", "").strip()
    if not name:
        return (Fault("id", "the lot has no name", "write one, as in L-2309"),)
    shop = open_workshop(folder)
    if name in shop.lots:
        return (Fault("id", f"a lot is called {name} already", "write another name"),)
    begin_records(folder, at=at, who=who, why="a lot is taken in")
    return change(folder, "lots", None, _heading(folder), said, at=at, who=who, why=why)


def give_status(
    folder: Path,
    lot: str,
    status: Status,
    *,
    at: datetime,
    who: Sequence[str],
    why: str,
    device: str | None = None,
) -> Event:
    """Hold a lot ("quarantine", "blocked"), release it, or say that it is empty; the event that is on record then.

    From then on the database itself lets no weighing of a held lot in, nor of regrind with some of it.

    Raises
    ------
    Refused
        No such lot, nobody who says so, no reason, a release that no rule allows (electrical without a bromine
        result, PVC, …) or before its tests are in, an empty lot that is held; or the records can't be written.
    """
    shop = open_workshop(folder)
    _may(shop, lot, status, who, why)
    begin_records(folder, at=at, who=who, why=why)
    event = Event(
        id=uuid4().hex,
        at=at,
        noted_at=at,
        kind=STATUSES[status],
        who=tuple(who),
        facts={"lot": lot},
        why=why.strip(),
        device=device,
    )
    with open_store(folder) as store, store.writing() as db:  # no test fails between looking and releasing
        if status == "released" and (faults := not_yet(store, shop.lots[lot])):
            raise Refused(faults)
        events.append(db, [event])
    return event


def count_lot(
    folder: Path,
    lot: str,
    mass: float,
    *,
    at: datetime,
    who: Sequence[str],
    why: str = "counted on the scale",
    device: str | None = None,
    told: str | None = None,
) -> float:
    """Set a lot's book to what the scale said at `at` [kg]; what the book was off by, what it holds now less before.

    What was weighed out since is left out of what it holds now. `told`: the id that a device gave it; told again it
    changes nothing.
    """
    shop = open_workshop(folder)
    if lot not in shop.lots:
        raise _no_lot(shop, lot)
    if not who:
        raise Refused(Fault("who", "nobody says so", "say who weighed it"))
    if not 0 <= mass < 1e6:
        raise Refused(Fault("mass", f"{mass:g} kg is no mass of a lot", "read the scale again"))
    begin_records(folder, at=at, who=who, why=why)
    event = Event(
        id=told or uuid4().hex,
        at=at,
        noted_at=at,
        kind="counted",
        who=tuple(who),
        facts={"lot": lot, "mass_kg": mass},
        why=why,
        device=device,
    )
    before = open_workshop(folder).lots[lot].mass
    with open_store(folder) as store:
        store.append([event])
    return round(open_workshop(folder).lots[lot].mass - before, 9)


def lot_history(folder: Path, lot: str) -> list[StatusEntry]:
    """Every status that a lot has had, oldest first, with who, when and why; empty before records were begun."""
    from flatstock.records.address import records_of

    if records_of(folder) is None:
        return []
    with open_store(folder) as store, store.reading() as db:
        return history(db, lot)


def _may(shop: Workshop, lot: str, status: Status, who: Sequence[str], why: str) -> None:
    if lot not in shop.lots:
        raise _no_lot(shop, lot)
    if status not in STATUSES:
        raise Refused(Fault("status", f"{status!r} is no status", f"one of {', '.join(STATUSES)}"))
    if not who:
        raise Refused(Fault("who", "nobody says so", "say who decides it"))
    if not why.strip():
        raise Refused(Fault("why", "no reason is given", "say why"))
    if status == "released":
        freed = replace(shop.lots[lot], status="released")
        faults = lot_faults(replace(shop, lots={**shop.lots, lot: freed}), lot)
        if faults:
            raise Refused(faults)


def _no_lot(shop: Workshop, lot: str) -> Refused:
    known = ", ".join(sorted(shop.lots)) or "none"
    return Refused(Fault("lot", f"no lot is called {lot!r}", f"there are {known}"))


def _heading(folder: Path) -> str:
    """What a new lot stands under: nothing in a list of lines, its table in TOML."""
    from flatstock.actions.setting_up import text_of_file

    return "" if text_of_file(folder, "lots")[0].endswith(".csv") else "lots"
