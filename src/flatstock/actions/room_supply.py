"""The supply on a room's plan: what supply.toml of the same folder hangs where."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from flatstock.actions.rooms import RoomOutcome
from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import Beside
from flatstock.errors import Refused
from flatstock.starting.room.surroundings.cables import Wired, cable_part
from flatstock.workshop.written import has_file

__all__ = ["with_supply"]


def with_supply(outcome: RoomOutcome, folder: Path, beside: Beside | None = None) -> RoomOutcome:
    """The same answer with the part `supply`, where the folder has a supply.toml that can be read."""
    if not has_file(folder, "supply.toml"):
        return outcome
    document = dict(outcome.document)
    try:
        found = look_at_supply(folder, beside).document
    except Refused:
        said = {
            "code": "supply",
            "item": "",
            "text": "supply.toml has faults: no cable runs; `flatstock read`",
        }
        return replace(outcome, document=document | {"warnings": [*document["warnings"], said]})
    count = len(found["worst"]["arithmetic_A"])
    loads = [
        Wired(
            load=one["id"], at=one["at"], lines=_lines(one["connection"], one["phase"], count),
            current=one["current_A"], power=one["input_kW"],
        )
        for one in found["loads"]
    ]  # fmt: skip
    return replace(outcome, document=document | {"supply": cable_part(outcome.question, outcome.plan, loads)})


def _lines(connection: str, phase: int | None, count: int) -> tuple[int, ...]:
    first = phase or 1
    if connection == "3P":
        return tuple(range(1, count + 1))
    return (first,) if connection == "LN" else (first, first % count + 1)
