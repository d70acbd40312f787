"""Measuring a sheet: nine points, mass, size, bow, grade, and which way it lay."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.fault_book import proofs_wanted
from flatstock.errors import Fault, Refused, UserError
from flatstock.running.rules_measured import not_so_thick
from flatstock.units import parse_measure
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, note, told_of
from flatstock.web.page import place_of, show
from flatstock.web.photos import keep_sent, sent_photo

__all__ = ["router"]

router = APIRouter()
POINTS = tuple(f"t{n}_mm" for n in range(1, 10))
#: name, words, what it is measured in by the documents, and where shops read inches
MORE = (
    ("mass_kg", "mass", "kg", "lb"),
    ("length_mm", "length", "mm", "in"),
    ("width_mm", "width", "mm", "in"),
    ("bow_mm", "gap under a straightedge", "mm", "in"),
    ("bow_over_mm", "straightedge's length", "mm", "in"),
)
DIMENSION = {"kg": "mass", "lb": "mass", "mm": "length", "in": "length"}
FACES = ("top", "bottom")
EDGES = ("front", "back", "left", "right")
GRADES = ("A", "B", "C")


@router.get("/record/{sheet}/measure", response_class=HTMLResponse)
def form(request: Request, sheet: str) -> Response:
    """The nine points as they lie in the press, from its front left corner."""
    return _form(request, sheet, {}, ())


@router.post("/record/{sheet}/measure")
async def measure(request: Request, sheet: str) -> Response:
    """Note what was measured."""
    sent = await request.form()
    said = {key: str(value)[:40].strip() for key, value in sent.items() if isinstance(value, str)}
    try:
        facts = _facts(request, sheet, said)
        photo = await sent_photo(sent)
        told = told_of(request, sent)
        who = [said["who"]] if said.get("who") else []
        await run_in_threadpool(note, request, "measured", who=who, sheet=sheet, facts=facts, told=told)
        if photo is not None:
            await run_in_threadpool(keep_sent, request, sheet, photo, who, told)
    except UserError as error:
        return _form(request, sheet, said, error.faults)
    finally:
        await sent.close()
    waiting = proofs_wanted(_work(request).board().store, sheet)
    return done(request, f"/fault/{waiting[0].id}" if waiting else f"/record/{sheet}")


def _facts(request: Request, sheet: str, said: dict[str, str]) -> dict[str, str | float]:
    """Numbers in the documents' units. Raises `Refused` or `WrongWords` at what can't be."""
    us = place_of(request).shop().units_shown == "us"
    wanted = _wanted(request, sheet)
    facts: dict[str, str | float] = {}
    for name in (*POINTS, *(one[0] for one in MORE)):
        text = said.get(name, "")
        if not text:
            continue
        metric = name.rpartition("_")[2]
        unit = {"mm": "in", "kg": "lb"}[metric] if us else metric
        number = parse_measure(text, DIMENSION[unit], unit=unit, where=name.replace("_", " "))
        facts[name] = round(number * (1.0 if metric == "kg" else 1000.0), 4)
    if not facts:
        raise Refused(Fault("measures", "nothing is measured yet", "write at least one number"))
    for name in POINTS:
        value = facts.get(name)
        if wanted and isinstance(value, float) and (fault := not_so_thick(int(name[1]), value, wanted)):
            raise Refused(fault)
    facts |= {name: said[name] for name in ("face_up", "front_edge", "grade") if said.get(name)}
    return facts


def _wanted(request: Request, sheet: str) -> float | None:
    found = _work(request).record(sheet)
    return found.thickness_mm


def _work(request: Request) -> Floorwork:
    work: Floorwork = request.app.state.floor
    return work


def _form(request: Request, sheet: str, said: dict[str, str], faults: tuple[Fault, ...]) -> HTMLResponse:
    shop = place_of(request).shop()
    us = shop.units_shown == "us"
    return show(
        request,
        "measure.html",
        status=422 if faults else 200,
        sheet=sheet,
        wanted=_wanted(request, sheet),
        points=POINTS,
        more=[(name, words, inch if us else unit) for name, words, unit, inch in MORE],
        unit="in" if us else "mm",
        faces=FACES,
        edges=EDGES,
        grades=GRADES,
        people=list(shop.people),
        said=said,
        faults=faults,
    )
