"""Why a clock of the board says what it says."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.clock_reasons import clock_reasons
from flatstock.errors import Fault, Refused
from flatstock.running.sheets import planned
from flatstock.web.answers import Answers
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import in_units, place_of, show
from flatstock.web.reasons import reasons_of

__all__ = ["router"]

router = APIRouter()


@router.get("/why/{sheet}", response_class=HTMLResponse)
def clock(request: Request, sheet: str) -> Response:
    """The numbers behind one mould's clock."""
    place = place_of(request)
    shop = place.shop()
    work: Floorwork = request.app.state.floor
    answers: Answers = request.app.state.answers
    _, floor = work.floor()
    found = next(
        ((spot, mould) for spot in floor.places for mould in spot.moulds if mould.sheet == sheet), None
    )
    if found is None:
        raise Refused(Fault("sheet", f"{sheet} stands in no press, stack or rack now", "see its record"))
    spot, mould = found
    known = planned(work.plan()).get(sheet)
    # a clock stays what it is until something is noted of it: the minute is not part of the key
    key = ("clock", sheet, spot.id, mould.since, mould.counts_to, mould.latest, mould.basis)
    document = dict(answers.kept(shop, key, lambda: clock_reasons(shop, spot, mould, known, place.zone())))
    if mould.core is not None and "core_now_C" in document:
        document["core_now_C"] = mould.core
    return show(
        request,
        "why_clock.html",
        spot=spot,
        mould=mould,
        say=in_units(place),
        zone=place.zone(),
        reasons=reasons_of(document, place.shown()),
    )
