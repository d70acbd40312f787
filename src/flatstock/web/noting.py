"""Noting something from a form: the same events as a tap makes, judged in the same way."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import uuid4

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from flatstock.actions.board import Event, TapAnswer
from flatstock.errors import Refused
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of

__all__ = ["Told", "done", "note", "told_of"]

EARLIEST = 2000  #: year in which a shop may note something


@dataclass(frozen=True, slots=True)
class Told:
    """What a device says of a form that it may have kept for a while: its id, and when it was filled in."""

    id: str
    at: datetime

    def part(self, name: str) -> Told:
        """The same told, for a further event that follows from it."""
        return Told(f"{self.id} {name}", self.at)


def told_of(request: Request, form: Mapping[str, Any]) -> Told | None:
    """None where the form says nothing of it, or what no device of ours would say; never later than now."""
    name, at = str(form.get("told_id") or ""), str(form.get("told_at") or "")
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        return None
    if re.fullmatch("[0-9a-f]{32}", name) is None or moment.tzinfo is None or moment.year < EARLIEST:
        return None
    return Told(name, min(moment, place_of(request).instant()))


def done(request: Request, address: str) -> Response:
    """On to the next page; a device that tells what it has kept is told only where that is."""
    if request.headers.get("x-kept") == "1":
        return Response(status_code=204, headers={"x-next": address, "cache-control": "no-store"})
    return RedirectResponse(address, 303)


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
    told: Told | None = None,
) -> TapAnswer:
    """Note an event now, or as a device tells that it was noted. Raises `Refused` with every fault.

    Told a second time, it is answered as the first time and changes nothing.
    """
    work: Floorwork = request.app.state.floor
    now = place_of(request).instant()
    event = Event(
        id=uuid4().hex if told is None else told.id,
        at=at or (now if told is None else told.at),
        noted_at=now if told is None else told.at,
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
