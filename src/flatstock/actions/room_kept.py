"""What is known of a room without looking for it: everything has its place, or a plan found before still passes.

A plan that was found is kept beside the workshop's files as the `flatstock.room/1` document that it is. It is held
against room.toml and judged by every rule each time it is read, so that it can't outlive either.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.actions.rooms import RoomOutcome, check_room, place_room, retold
from flatstock.actions.workshops import Beside, shop_beside
from flatstock.errors import Refused
from flatstock.starting.room.room_file import read_room
from flatstock.workshop.folder import write_bytes

__all__ = ["KEPT", "keep_room", "known_room"]

KEPT = "room-found.json"
SAME_WALK = 1e-6  #: m/day


def known_room(
    folder: Path, beside: Beside | None = None, *, made_at: datetime | None = None
) -> RoomOutcome | None:
    """The room at once; None where it has to be looked for, which takes seconds: `place_room`.

    Raises
    ------
    Refused
        room.toml has faults, or everything has its place and breaks rules: all of them.
    """
    beside = beside or shop_beside(folder)
    items = read_room(folder).question.items
    placed = {item.id: item.placed for item in items if item.placed is not None}
    if len(placed) == len(items):
        return place_room(folder, beside, made_at=made_at)
    path = folder / KEPT
    if not path.is_file():
        return None
    try:
        found = check_room(folder, path, beside, made_at=made_at)
        proof = json.loads(path.read_text("utf-8")).get("proof")
    except (Refused, OSError, ValueError):
        return None  # of another room.toml, or of rules that have changed since
    if found.plan is None or any(found.plan.placements.get(name) != at for name, at in placed.items()):
        return None
    return retold(_as_proven(found, proof), folder, beside, made_at=made_at)


def keep_room(folder: Path, outcome: RoomOutcome) -> None:
    """Keep a plan that was found, for the next time; where the folder can't be written it is looked for again then."""
    if outcome.plan is not None:
        with suppress(Refused):
            write_bytes(folder / KEPT, (json.dumps(outcome.document, indent=1) + "\n").encode())


def _as_proven(found: RoomOutcome, proof: Any) -> RoomOutcome:
    """With how far the plan was proven the best when it was found, which says nothing of a walk counted otherwise."""
    now = found.answer.proof
    if not isinstance(proof, Mapping) or now.walk_m_per_day is None:
        return found
    then, bound = proof.get("walk_m_per_day"), proof.get("bound_m_per_day")
    known = [one for one in (then, bound) if isinstance(one, int | float)]
    if len(known) < 2 or abs(known[0] - now.walk_m_per_day) > SAME_WALK:
        return found
    with_bound = replace(now, bound_m_per_day=known[1])
    proven = replace(with_bound, status="optimal") if proof.get("status") == "optimal" else with_bound
    return replace(found, answer=replace(found.answer, proof=proven))
