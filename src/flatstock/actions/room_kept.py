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

from flatstock.actions.rooms import RoomOutcome, judged, outcome_of, place_room, room_file
from flatstock.actions.workshops import Beside, shop_beside
from flatstock.errors import Refused
from flatstock.starting.room.answer import RoomAnswer
from flatstock.starting.room.drawn import read_drawn
from flatstock.workshop.folder import write_bytes

__all__ = ["KEPT", "keep_better", "keep_room", "known_room"]

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
    file, path = room_file(folder, beside), folder / KEPT
    placed = {item.id: item.placed for item in file.question.items if item.placed is not None}
    if len(placed) == len(file.question.items):
        return place_room(folder, beside, made_at=made_at)
    if not path.is_file():
        return None
    try:
        document = read_drawn(path)
        answer = judged(file.question, document, where=KEPT)
    except Refused:
        return None  # of another room.toml, or of rules that have changed since
    if answer.plan is None or any(answer.plan.placements.get(name) != at for name, at in placed.items()):
        return None
    return outcome_of(folder, beside, file, _as_proven(answer, document.get("proof")), made_at)


def keep_room(folder: Path, outcome: RoomOutcome) -> None:
    """Keep a plan that was found, for the next time; where the folder can't be written it is looked for again then."""
    if outcome.plan is not None:
        with suppress(Refused):
            write_bytes(folder / KEPT, (json.dumps(outcome.document, indent=1) + "\n").encode())


def keep_better(
    folder: Path, outcome: RoomOutcome, beside: Beside | None = None, *, made_at: datetime | None = None
) -> None:
    """Keep a plan of the room as room.toml has it, unless one that is kept and still passes is better."""
    try:
        kept = known_room(folder, beside, made_at=made_at)
    except Refused:
        return  # room.toml has changed while the plan was looked for
    if kept is None or _order(outcome) <= _order(kept):
        keep_room(folder, outcome)


def _order(outcome: RoomOutcome) -> tuple[int, float, float]:
    """The less, the better: what is left out, metres walked, and how much nobody knows of a better plan."""
    assert outcome.plan is not None
    proof = outcome.document["proof"]
    walk, bound = proof["walk_m_per_day"] or 0.0, proof["bound_m_per_day"] or 0.0
    return len(outcome.plan.left_out), round(walk, 6), -bound


def _as_proven(answer: RoomAnswer, proof: Any) -> RoomAnswer:
    """With how far the plan was proven the best when it was found, which says nothing of a walk counted otherwise."""
    now = answer.proof
    if not isinstance(proof, Mapping) or now.walk_m_per_day is None:
        return answer
    then, bound = proof.get("walk_m_per_day"), proof.get("bound_m_per_day")
    known = [one for one in (then, bound) if isinstance(one, int | float)]
    if len(known) < 2 or abs(known[0] - now.walk_m_per_day) > SAME_WALK:
        return answer
    with_bound = replace(now, bound_m_per_day=known[1])
    best = replace(with_bound, status="optimal") if proof.get("status") == "optimal" else with_bound
    return replace(answer, proof=best)
