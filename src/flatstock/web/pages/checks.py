"""The start of a day: what is looked at before the heaters go on; and what may be taken out of its mould first."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.demould_list import demould_list
from flatstock.errors import Fault, Refused, UserError
from flatstock.plastics.safety import cautions_for, rules
from flatstock.running.start_checks import START
from flatstock.running.words import clock_up
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, note, told_of
from flatstock.web.page import in_units, place_of, show
from flatstock.web.pages.today import KIND_WORDS

__all__ = ["router"]

router = APIRouter()


@router.get("/checks/start", response_class=HTMLResponse)
def start(request: Request) -> Response:
    """What is looked at before the heaters go on."""
    return _start(request, (), ())


@router.post("/checks/start")
async def go_through(request: Request) -> Response:
    """Gone through, or what is wrong: then the heaters stay off."""
    form = await request.form()
    seen = [str(one) for one in form.getlist("line")]
    who = [str(one) for one in form.getlist("who")][:1]
    lines = rules().start_check.lines
    left = [line for line in lines if line not in seen]
    told = told_of(request, form)
    try:
        if not who:
            raise Refused(Fault("who", "nobody says so", "tap who has looked"))
        if form.get("do") == "came":
            await run_in_threadpool(note, request, "arrived", who=who, told=told)
            return _start(request, (), seen, who[0])
        if form.get("do") == "wrong":
            if not left:
                raise Refused(Fault("start checks", "every line is tapped", "leave out what is not right"))
            facts = {"list": START, "wrong": " ".join(left)[:600]}
            await run_in_threadpool(note, request, "checked", who=who, facts=facts, told=told)
            return done(request, "/checks/start")
        if left:
            raise Refused(
                Fault("start checks", f"not looked at: {' '.join(left)}", "go and look, then tap it")
            )
        await run_in_threadpool(note, request, "checked", who=who, facts={"list": START}, told=told)
    except UserError as error:
        return _start(request, error.faults, seen, who[0] if who else "")
    return done(request, "/")


@router.get("/demould", response_class=HTMLResponse)
def demould(request: Request) -> Response:
    """What stands outside the hot presses, the readiest first."""
    return _demould(request, (), "")


@router.post("/demould")
async def taken_out(request: Request) -> Response:
    """A sheet is out of its mould; measuring it comes next."""
    form = await request.form()
    sheet = str(form.get("sheet") or "")[:80]
    who = list(dict.fromkeys(str(one) for one in form.getlist("who")))
    lift = str(form.get("lift") or "")
    try:
        facts: dict[str, str | float] = {"lift": lift} if lift else {}
        told = told_of(request, form)
        await run_in_threadpool(note, request, "demoulded", who=who, sheet=sheet, facts=facts, told=told)
    except UserError as error:
        return _demould(request, error.faults, sheet, who, lift)
    return done(request, f"/record/{sheet}/measure")


def _start(request: Request, faults: tuple[Fault, ...], seen: Iterable[str], who: str = "") -> HTMLResponse:
    place, work = place_of(request), _work(request)
    shop = place.shop()
    _, floor = work.floor()
    return show(
        request,
        "start_check.html",
        status=422 if faults else 200,
        check=rules().start_check,
        seen=list(seen),
        done=floor.checked,
        zone=place.zone(),
        people=list(shop.people),
        away=[person for person in shop.people if person not in floor.here],
        who=who,
        faults=faults,
        heaters_on=[one.id for one in floor.places if one.heat is not None and one.heat.on],
        cautions=cautions_for("unattended", "opening"),
    )


def _demould(
    request: Request, faults: tuple[Fault, ...], sheet: str, who: Collection[str] = (), lift: str = ""
) -> HTMLResponse:
    place, work = place_of(request), _work(request)
    shop = place.shop()
    _, floor = work.floor()
    rows = demould_list(floor)
    return show(
        request,
        "demould.html",
        status=422 if faults else 200,
        rows=rows,
        say=in_units(place),
        zone=place.zone(),
        faults=faults,
        tried=sheet,
        took=who,
        lift=lift,
        danger=floor.danger,
        up=clock_up,
        people=[(one.id, one.id in floor.here) for one in shop.people.values()],
        lifts=[one.id for one in shop.places.values() if one.kind == "lift"],
        place_words=KIND_WORDS,
        cautions=cautions_for("hot", "lifting"),
        burn=rows[0].burns if rows else None,
    )


def _work(request: Request) -> Floorwork:
    work: Floorwork = request.app.state.floor
    return work
