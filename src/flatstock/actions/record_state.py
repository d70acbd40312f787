"""What a workshop's records hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from flatstock.actions.living import HandChange, hand_changes
from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.errors import Fault, Refused
from flatstock.records.address import records_of

__all__ = ["RecordState", "state_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordState:
    """The records of one folder."""

    folder: Path
    shown: str  #: where they are
    rows: Mapping[str, int]  #: by table
    version: str  #: of the tables
    copied: datetime | None  #: when the newest copy was made, by the shop's clock
    copies: int
    changes: tuple[HandChange, ...]


def state_of(folder: Path) -> RecordState:
    """Where the records of a workshop are and what they hold. Raises `Refused` where there are none."""
    from flatstock.records import open_store
    from flatstock.records.backup import backups
    from flatstock.records.counting import counts
    from flatstock.records.upgrading import HEAD

    if records_of(folder) is None:
        what = "it has no records yet" if folder.is_dir() else "there is no such folder"
        raise Refused(
            Fault(str(folder), what, "open the app on it once, or `flatstock records begin FOLDER`")
        )
    with open_store(folder) as store, store.reading() as db:
        rows, shown = counts(db), store.shown
    made = backups(folder)
    zone = zone_of(open_workshop(folder))
    return RecordState(
        folder=folder,
        shown=shown,
        rows=rows,
        version=HEAD,
        copied=made[-1].at.astimezone(zone) if made else None,
        copies=len(made),
        changes=tuple(hand_changes(folder)),
    )
