"""Correcting what was told wrongly: by a further entry that says why; what was told first stays on record."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.board import Event
from flatstock.errors import Fault, Refused, UserError
from flatstock.running.kinds import kinds
from flatstock.units import parse_number
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import note
from flatstock.web.page import place_of, show

__all__ = ["router"]

router = APIRouter()
WHYS = ("tapped late", "tapped too early", "wrong person", "wrong number", "wrong place", "did not happen")
MOST_MINUTES = 24 * 60


@router.get("/happened/{event}/correct", response_class=HTMLResponse)
def form(request: Request, event: str) -> Response:
    """What was told, and what can be put right about it."""
    return _form(request, _event(request, event), {}, ())


@router.post("/happened/{event}/correct")
async def correct(request: Request, event: str) -> Response:
    """Note the correction."""
    told = _event(request, event)
    form = await request.form()
    said = {key: str(value)[:100] for key, value in form.items() if isinstance(value, str)}
    by = [str(one) for one in form.getlist("by")]
    who = [str(one) for one in form.getlist("who")]
    try:
        if not by:
            raise Refused(Fault("who", "nobody says so", "tap who corrects it"))
        facts = _facts(told, said)
        at = told.at + timedelta(minutes=_minutes(said.get("minutes", "0")))
        await run_in_threadpool(
            note,
            request,
            "corrected",
            who=who or by,
            sheet=told.sheet,
            place=said.get("place") or None,
            at=at,
            facts=facts,
            corrects=told.id,
            why=f"{said.get('why', '')}; {by[0]}" if said.get("why") else None,
        )
    except UserError as error:
        return _form(request, told, said, error.faults)
    return RedirectResponse("/happened", 303)


def _event(request: Request, event: str) -> Event:
    work: Floorwork = request.app.state.floor
    place_of(request).shop()
    found = next((one for one in work.board().events(place_of(request).instant()) if one.id == event), None)
    if found is None or found.kind in ("undone", "corrected"):
        raise Refused(Fault("event", "there is no such entry of the last fortnight", "see the list"))
    return found


def _form(request: Request, told: Event, said: dict[str, str], faults: tuple[Fault, ...]) -> HTMLResponse:
    place = place_of(request)
    shop = place.shop()
    kind = kinds()[told.kind]
    spots = [
        name
        for of, names in (
            ("hot_press", shop.hot_presses),
            ("cooling_press", shop.cooling_presses),
            ("stack", shop.stacks),
            ("rack", shop.racks),
        )
        if kind.places and of in kind.places
        for name in names
    ]
    given: dict[str, Any] = {
        "told": told,
        "told_at": told.at.astimezone(place.zone()),
        "numbers": {name: value for name, value in told.facts.items() if _is_number(value)},
        "spots": spots,
        "people": list(shop.people),
        "whys": WHYS,
        "said": said,
        "faults": faults,
    }
    return show(request, "correct.html", status=422 if faults else 200, **given)


def _facts(told: Event, said: dict[str, str]) -> dict[str, str | float]:
    """Numbers that were changed."""
    found: dict[str, str | float] = {}
    for name, value in told.facts.items():
        text = said.get(f"fact-{name}", "").strip()
        if _is_number(value) and text:
            number = parse_number(text, where=name.replace("_", " "))
            if number != value:
                found[name] = number
    return found


def _minutes(text: str) -> float:
    minutes = parse_number(text or "0", where="minutes")
    if abs(minutes) > MOST_MINUTES:
        raise Refused(Fault("minutes", f"{minutes:g} minutes is more than a day", "write fewer"))
    return minutes


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
