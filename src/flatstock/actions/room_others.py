"""The other plans of a room, each as a document of its own beside the workshop's files.

Like the week's plan they are there for other programs, and for `flatstock room --check`, which judges and prints
any of them.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from flatstock.actions.room_supply import with_supply
from flatstock.actions.rooms import RoomOutcome, outcome_of, room_file
from flatstock.actions.workshops import Beside, shop_beside
from flatstock.errors import Refused
from flatstock.starting.room.answer import Proof, RoomAnswer
from flatstock.workshop.folder import write_file

__all__ = ["keep_others"]

MOST = 3  # as many as an earlier call may have left


def keep_others(
    folder: Path,
    outcome: RoomOutcome,
    beside: Beside | None = None,
    *,
    made_at: datetime | None = None,
    say: Callable[[str], None] = lambda _: None,
) -> RoomOutcome:
    """The same answer, with each of its other plans written into `folder` and named in `alternatives`.

    Those of an earlier call are taken away. A plan that can't be written keeps its `file` null, and `say` hears why.
    """
    beside = beside or shop_beside(folder)
    for number in range(len(outcome.others) + 1, MOST + 1):
        with suppress(OSError):
            _path(folder, number).unlink(missing_ok=True)
    if not outcome.others:
        return outcome
    file = replace(room_file(folder, beside), question=outcome.question)
    listed = [dict(one) for one in outcome.document["alternatives"]]
    for number, other in enumerate(outcome.others, 1):
        proof = Proof(
            status="feasible",
            walk_m_per_day=other.walk_m_per_day,
            bound_m_per_day=outcome.document["proof"]["bound_m_per_day"],
            grid_mm=outcome.question.grid_mm,
        )
        found = outcome_of(folder, beside, file, RoomAnswer(plan=other.plan, proof=proof), made_at)
        try:
            document = with_supply(found, folder, beside).document
            write_file(_path(folder, number), json.dumps(document, ensure_ascii=False, indent=1) + "\n")
        except Refused as refused:
            say(refused.faults[0].sentence())
        else:
            listed[number - 1]["file"] = _path(folder, number).name
    return replace(outcome, document={**outcome.document, "alternatives": listed})


def _path(folder: Path, number: int) -> Path:
    return folder / f"room-other-{number}.json"
