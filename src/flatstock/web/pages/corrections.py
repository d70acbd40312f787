"""Correcting what was told wrongly: by a further entry that says why; what was told first stays on record."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.event_words import kind_words
from flatstock.actions.going_on import off_plan
from flatstock.actions.putting_right import Telling, telling_of
from flatstock.errors import Fault, Refused, UserError
from flatstock.running.event import Event
from flatstock.running.kinds import kinds
from flatstock.running.standing import CORRECTING
from flatstock.units import parse_number
from flatstock.web.correcting import choices_of, facts_said, numbers_of
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, note, told_of
from flatstock.web.page import place_of, show
from flatstock.web.planning_on import plan_on

__all__ = ["router"]

router = APIRouter()
STRUCK = "it did not happen"
WHYS = (
    "tapped late",
    "tapped too early",
    "wrong person",
    "wrong number",
    "wrong place",
    "wrong lot or sheet",
    STRUCK,
)
MOST_MINUTES = 24 * 60


@router.get("/happened/{event}/correct", response_class=HTMLResponse)
def form(request: Request, event: str) -> Response:
    """What was told, and what can be put right about it."""
    return _form(request, _telling(request, event), {}, ())


@router.post("/happened/{event}/correct")
async def correct(request: Request, event: str) -> Response:
    """Note the correction, or strike out what did not happen."""
    telling = await run_in_threadpool(_telling, request, event)
    sent = await request.form()
    said = {key: str(value)[:100] for key, value in sent.items() if isinstance(value, str)}
    by = [str(one) for one in sent.getlist("by")]
    first, now = telling.first, telling.now or telling.first
    told = told_of(request, sent)
    try:
        if first.kind == "released" and request.state.visitor.role != "lead":
            raise Refused(Fault("release", "this device may hold a lot, not release one", "ask a lead"))
        if not by:
            raise Refused(Fault("who", "nobody says so", "tap who corrects it"))
        if not said.get("why"):
            raise Refused(Fault("why", "no reason is given", "tap why it is corrected"))
        if said["why"] == STRUCK:
            await run_in_threadpool(
                note, request, "undone", who=by, sheet=first.sheet, corrects=first.id, why=STRUCK, told=told
            )
        else:
            shop = place_of(request).shop()
            us = shop.units_shown == "us"
            facts = facts_said(first, now, said, us=us, lots=shop.lots)
            people = [str(one) for one in sent.getlist("who")]
            late = _minutes(said.get("minutes", "0"))
            stood = facts_said(first, now, {}, us=us, lots=shop.lots)
            sheet, where = said.get("sheet") or now.sheet, said.get("place") or now.place
            stays = (sheet, where) == (now.sheet, now.place) and set(people or now.who) == set(now.who)
            if facts == stood and stays and not late:
                what = "nothing here is other than it stands already"
                raise Refused(Fault("correction", what, "put right what was wrong, then correct it"))
            await run_in_threadpool(
                note,
                request,
                "corrected",
                who=people or by,
                sheet=sheet,
                place=where,
                at=now.at + timedelta(minutes=late),
                facts=facts,
                corrects=first.id,
                why=f"{said['why']}, says {by[0]}",
                told=told,
            )
    except UserError as error:
        return _form(request, telling, said, error.faults)
    await run_in_threadpool(_plan_on, request, telling)
    return done(request, "/happened")


def _telling(request: Request, event: str) -> Telling:
    work: Floorwork = request.app.state.floor
    place_of(request).shop()
    found = telling_of(work.board().store, event)
    if found is None or found.first.kind in CORRECTING:
        raise Refused(Fault("event", "there is no such entry", "see the list"))
    return found


def _plan_on(request: Request, before: Telling) -> None:
    """Plan the rest of the week on where a step was put right to well beside its time, or did not happen."""
    work: Floorwork = request.app.state.floor
    plan = work.plan()
    if plan is None:
        return
    after = telling_of(work.board().store, before.first.id)
    struck = after is None or after.now is None
    if struck or any(
        off_plan(plan, one) for one in (before.now, after.now if after else None) if one is not None
    ):
        plan_on(request)


def _form(
    request: Request, telling: Telling, said: dict[str, str], faults: tuple[Fault, ...]
) -> HTMLResponse:
    place = place_of(request)
    shop = place.shop()
    told = telling.now or telling.first
    work: Floorwork = request.app.state.floor
    given: dict[str, Any] = {
        "told": told,
        "words": kind_words(told.kind),
        "told_at": told.at.astimezone(place.zone()),
        "became": _became(told, said).astimezone(place.zone()),
        "struck": telling.now is None,
        "numbers": numbers_of(told, place.shown()),
        "choices": choices_of(told, shop, work.plan()),
        "people": list(shop.people),
        "asks_who": bool(told.who) or kinds()[told.kind].people > 0,
        "whys": WHYS,
        "said": said,
        "faults": faults,
    }
    return show(request, "correct.html", status=422 if faults else 200, **given)


def _became(told: Event, said: dict[str, str]) -> datetime:
    """The moment that the form makes of it; the one that was told, where what it says is no number."""
    try:
        return told.at + timedelta(minutes=_minutes(said.get("minutes", "0")))
    except UserError:
        return told.at


def _minutes(text: str) -> float:
    minutes = parse_number(text or "0", where="minutes")
    if abs(minutes) > MOST_MINUTES:
        raise Refused(Fault("minutes", f"{minutes:g} minutes is more than a day", "write fewer"))
    return minutes
