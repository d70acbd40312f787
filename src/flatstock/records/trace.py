"""What went into what: from a lot on to sheets, parts and orders, and back from any of them, through regrind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from sqlalchemy import Connection, exists, insert, literal, select

from flatstock.records.tables.stock import passage

__all__ = ["Kind", "Thing", "backward", "forward", "note"]

Kind = Literal["lot", "sheet", "offcut", "part", "order"]


@dataclass(frozen=True, slots=True, order=True)
class Thing:
    """Something that can be traced."""

    kind: Kind
    id: str


def note(
    db: Connection,
    start: Thing,
    end: Thing,
    *,
    at: datetime,
    who: Sequence[str],
    mass: float | None = None,
    why: str | None = None,
) -> None:
    """Keep that `start` went into `end`, `mass` [kg] of it where that is known."""
    row = {"from_kind": start.kind, "from_id": start.id, "to_kind": end.kind, "to_id": end.id}
    db.execute(insert(passage), [row | {"mass_kg": mass, "at": at, "who": list(who), "why": why}])


def forward(db: Connection, start: Thing) -> set[Thing]:
    """Everything that holds something of `start`: a recall. Never itself."""
    return _reached(db, start, "from", "to")


def backward(db: Connection, start: Thing) -> set[Thing]:
    """Everything that `start` holds something of. Never itself."""
    return _reached(db, start, "to", "from")


def _reached(db: Connection, start: Thing, near: str, far: str) -> set[Thing]:
    way, back = passage, passage.alias()
    reach = select(literal(start.kind).label("kind"), literal(start.id).label("id")).cte(recursive=True)
    step = select(way.c[f"{far}_kind"], way.c[f"{far}_id"]).where(
        way.c[f"{near}_kind"] == reach.c.kind,
        way.c[f"{near}_id"] == reach.c.id,
        way.c.withdraws.is_(None),
        ~exists().where(back.c.withdraws == way.c.seq),
    )
    reach = reach.union(step)
    found = {Thing(row.kind, row.id) for row in db.execute(select(reach.c.kind, reach.c.id))}
    return found - {start}
