"""Noting something from a form: the same events as a tap makes, judged in the same way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import uuid4

from fastapi import Request

from flatstock.actions.board import Event, TapAnswer
from flatstock.errors import Refused
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of

__all__ = ["note"]


def note(
    request: Request,
    kind: str,
    *,
    who: Sequence[str] = (),
    sheet: str | None = None,
    place: str | None = None,
    at: datetime | None = None,
    facts: Mapping[str, str | float] | None = None,
    corrects: str | None = None,
    why: str | None = None,
) -> TapAnswer:
    """Note an event now. Raises `Refused` with every fault where it may not be so."""
    work: Floorwork = request.app.state.floor
    now = place_of(request).instant()
    event = Event(
        id=uuid4().hex,
        at=at or now,
        noted_at=now,
        kind=kind,
        who=tuple(who),
        sheet=sheet,
        place=place,
        facts=dict(facts or {}),
        corrects=corrects,
        why=why,
        device=request.state.device or None,
    )
    (answer,) = work.tap([event])
    if not answer.keep:
        raise Refused(answer.faults)
    request.app.state.live.tell()
    return answer
