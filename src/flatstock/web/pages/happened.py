"""What happened on the floor in the last fortnight, the latest first, and what has become of each telling."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.board import Event
from flatstock.actions.event_words import kind_words, told_words
from flatstock.running.standing import CORRECTING, standing
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show
from flatstock.web.paging import leaf_of

__all__ = ["router"]

router = APIRouter()
ON_A_PAGE = 100
LATE = timedelta(minutes=1)  #: told so much later than it happened, both instants are shown


@router.get("/happened", response_class=HTMLResponse)
def happened(
    request: Request,
    q: Annotated[str, Query(max_length=80)] = "",
    page: Annotated[int, Query(ge=1, le=10_000)] = 1,
) -> Response:
    """What was noted last, with who, when and why."""
    work: Floorwork = request.app.state.floor
    place = place_of(request)
    place.shop()
    events = work.board().events(place.instant())
    return show(
        request,
        "happened.html",
        leaf=leaf_of(events[::-1], word=q, number=page, most=ON_A_PAGE, words=_looked_through),
        become=_become(events),
        zone=place.zone(),
        late=LATE,
        kind_words=kind_words,
        told_words=told_words,
    )


def _become(events: list[Event]) -> dict[str, str]:
    """By id what became of an entry that does not stand as it was told."""
    stand = {one.id: one for one in standing(events)}
    return {
        one.id: "struck out" if one.id not in stand else "corrected since"
        for one in _told(events)
        if stand.get(one.id) != one
    }


def _told(events: Iterable[Event]) -> list[Event]:
    return [one for one in events if one.kind not in CORRECTING]


def _looked_through(event: Event) -> str:
    said = (kind_words(event.kind), event.sheet, event.where, *event.who, told_words(event), event.why)
    return " ".join(word for word in said if word)
