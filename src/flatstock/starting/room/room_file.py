"""Everything that room.toml asks: where things may stand, about air, about fire."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from flatstock.errors import Refused
from flatstock.starting.own_file import read_own
from flatstock.starting.room.question import Question
from flatstock.starting.room.read import question_of
from flatstock.starting.room.surroundings.asked import AirAsked, FireAsked, read_air, read_fire, usual_air

__all__ = ["RoomFile", "read_room"]


@dataclass(frozen=True, kw_only=True)
class RoomFile:
    """The whole file."""

    question: Question
    air: AirAsked
    fire: FireAsked


def read_room(folder: Path, *, shop: str = "") -> RoomFile:
    """room.toml of a workshop's folder; `shop` is its name where the file names none.

    Raises
    ------
    Refused
        There is no such file, or it has faults: all of them at once, by line.
    """
    row, notes = read_own(folder, "room")
    question = question_of(row, notes, shop=shop) if row is not None else None
    air = read_air(row, notes) if row is not None else None
    if notes.faults or question is None or row is None:
        raise Refused(notes.sorted())
    return RoomFile(question=question, air=air or usual_air(question), fire=read_fire(row))
