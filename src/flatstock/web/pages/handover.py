"""The end of a day: what stands where and until when, the closing check, and two who sign."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.errors import Fault, Refused, UserError
from flatstock.plastics.safety import rules
from flatstock.running.words import minute_up
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, note, told_of
from flatstock.web.page import place_of, show
from flatstock.web.pages.today import KIND_WORDS, STATE_WORDS

__all__ = ["router"]

router = APIRouter()


@router.get("/handover", response_class=HTMLResponse)
def handover(request: Request) -> Response:
    """What has to be known by whoever comes next."""
    return _page(request, (), ())


@router.post("/handover")
async def sign(request: Request) -> Response:
    """The closing check gone through, and what stands handed over by two."""
    form = await request.form()
    seen = [str(one) for one in form.getlist("line")]
    told = told_of(request, form)
    who = [str(one) for one in form.getlist("who")]
    lines = rules().closing_check.lines
    try:
        left = [line for line in lines if line not in seen]
        if left:
            raise Refused(Fault("closing check", f"not done: {' '.join(left)}", "go and look, then tap it"))
        if len(set(who)) != 2:
            raise Refused(Fault("who", "two different people sign", "tap both"))
        first = None if told is None else told.part("closing")
        closing = {"list": "closing"}
        await run_in_threadpool(note, request, "checked", who=who[:1], facts=closing, told=first)
        await run_in_threadpool(note, request, "handed_over", who=who, told=told)
    except UserError as error:
        return _page(request, error.faults, seen)
    return done(request, "/happened")


def _page(request: Request, faults: tuple[Fault, ...], done: list[str] | tuple[str, ...]) -> HTMLResponse:
    work: Floorwork = request.app.state.floor
    place = place_of(request)
    shop = place.shop()
    _, floor = work.floor()
    check = rules().closing_check
    return show(
        request,
        "handover.html",
        status=422 if faults else 200,
        floor=floor,
        zone=place.zone(),
        up=minute_up,
        check=check,
        done=done,
        people=list(shop.people),
        faults=faults,
        kind_words_=KIND_WORDS,
        state_words=STATE_WORDS,
        heaters_on=[one.id for one in floor.places if one.heat is not None and one.heat.on],
    )
