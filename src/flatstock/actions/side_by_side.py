"""Several workshops, or several rooms and connections for one, beside each other."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import shop_beside
from flatstock.errors import Fault, Refused
from flatstock.starting.outlay.answer import answer
from flatstock.starting.outlay.read import FILE as OUTLAY
from flatstock.starting.outlay.read import read_outlay
from flatstock.starting.room.room_file import read_room
from flatstock.starting.room.walls import floor_m2
from flatstock.starting.supply.read import FILE as SUPPLY
from flatstock.workshop.written import has_file

__all__ = ["side_by_side"]

_ROOM = "room.toml"


def side_by_side(folders: Sequence[Path]) -> list[dict[str, Any]]:
    """One row for each folder: its room, its connection, its purchases; null where the folder has no such file.

    Raises
    ------
    Refused
        A folder has none of the three files, or one with faults.
    """
    return [_row(folder) for folder in folders]


def _row(folder: Path) -> dict[str, Any]:
    there = [name for name in (_ROOM, SUPPLY, OUTLAY) if has_file(folder, name)]
    if not there:
        raise Refused(
            Fault(str(folder), f"it has none of {_ROOM}, {SUPPLY}, {OUTLAY}", "name another folder")
        )
    shop, _ = shop_beside(folder)
    row: dict[str, Any] = {"folder": str(folder), "shop": shop.name if shop else folder.name}
    return (
        row
        | _room(folder, _ROOM in there)
        | _supply(folder, SUPPLY in there)
        | _outlay(folder, OUTLAY in there)
    )


def _room(folder: Path, there: bool) -> dict[str, Any]:
    return {"room_m2": round(floor_m2(read_room(folder).question.room), 2) if there else None}


def _supply(folder: Path, there: bool) -> dict[str, Any]:
    keys = ("rated_A", "worst_phase_A", "supply_verdict", "heaters_left_kW")
    if not there:
        return dict.fromkeys(keys)
    found = look_at_supply(folder).document
    values = (
        found["supply"]["rated_A"],
        max(found["worst"]["held_against_rating_A"]),
        found["verdict"],
        found["heaters_that_fit"][0]["heaters_kW"],
    )
    return dict(zip(keys, values, strict=True))


def _outlay(folder: Path, there: bool) -> dict[str, Any]:
    keys = ("first_sale_month", "lowest_cash", "cash_end", "npv", "refused")
    if not there:
        return dict.fromkeys(keys)
    found = answer(read_outlay(folder)[0], runs=1)
    values = (
        found.first_sale,
        round(found.lowest, 2),
        round(found.months[-1].end, 2),
        round(found.npv, 2),
        found.refused,
    )
    return dict(zip(keys, values, strict=True))
