"""A sheet that came out bad: noted in three taps, causes in order, the test to do now, remedy and proof."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from flatstock.actions.fault_book import Asked, find_case, next_sheets, open_faults, weighed_undried
from flatstock.actions.fault_case import Case
from flatstock.actions.pictures import MOST_BYTES
from flatstock.actions.sheet_list import sheets_on_record
from flatstock.actions.sheet_quality import quality_of
from flatstock.actions.sheet_record import SheetRecord
from flatstock.errors import Fault, Refused, UserError
from flatstock.plastics.safety import cautions_for
from flatstock.prints.drawing.thickness_map import thickness_map_svg
from flatstock.quality.faults.guide import guide
from flatstock.quality.faults.places import CELLS, cell_words, cells_of
from flatstock.web.fault_taps import UNDO, do
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import Told, done, note, told_of
from flatstock.web.page import place_of, show
from flatstock.web.photos import keep_sent, sent_photo

__all__ = ["router"]

router = APIRouter()
LISTED = 200  #: faults on one page
LOOKED_AT, OFFERED = 40, 8  #: of so many sheets begun last, those out of their moulds that are offered
SHAPED = ("wedge", "dish", "thin", "bow", "flash")  #: faults that a thickness map tells about
SURE = ((0.75, "stands out"), (0.4, "likely"), (0.1, "possible"), (0.0, "unlikely"))


@router.get("/fault", response_class=HTMLResponse)
def listed(request: Request) -> Response:
    """Every fault on record, newest first."""
    place, store = place_of(request), _work(request).board().store
    place.shop()
    begun = sheets_on_record(store, "", number=1, most=LOOKED_AT)[2]
    return show(
        request,
        "faults.html",
        faults_listed=open_faults(store)[:LISTED],
        latest=[one for one in begun if one.out][:OFFERED],
        zone=place.zone(),
    )


@router.get("/fault/new/{sheet}", response_class=HTMLResponse)
def new(request: Request, sheet: str) -> Response:
    """The pictures, and where on the sheet."""
    return _new(request, sheet, {}, (), ())


@router.post("/fault/new/{sheet}")
async def found(request: Request, sheet: str) -> Response:
    """Note it."""
    async with request.form() as form:  # closed at the end: a photograph may lie in a file until then
        said = {key: str(value)[:80] for key, value in form.items() if isinstance(value, str)}
        cells = [str(one) for one in form.getlist("cell")]
        told = told_of(request, form)
        try:
            event = await _note_fault(request, sheet, form, said, cells, told)
        except UserError as error:
            known = [int(one) for one in cells if one in map(str, CELLS)]
            return _new(request, sheet, said, known, error.faults)
    return done(request, f"/fault/{event}")


@router.get("/fault/{fault}", response_class=HTMLResponse)
def case(request: Request, fault: str) -> Response:
    """Causes, tests, remedy."""
    return _case(request, fault, {}, ())


@router.post("/fault/{fault}")
async def tapped(request: Request, fault: str) -> Response:
    """An answer, a remedy, its proof, the end of it, or any of them taken back."""
    form = await request.form()
    said = {key: str(value)[:80].strip() for key, value in form.items() if isinstance(value, str)}
    try:
        await run_in_threadpool(_tap, request, fault, said, told_of(request, said))
    except UserError as error:
        return _case(request, fault, said, error.faults)
    request.app.state.live.tell()
    return done(request, f"/fault/{fault}")


def _tap(request: Request, fault: str, said: dict[str, str], told: Told | None) -> None:
    with _work(request).turn:  # two devices that close it at the same moment close it once
        do(request, _again(request, fault), said, lambda: _again(request, fault), told)


async def _note_fault(
    request: Request, sheet: str, form: FormData, said: dict[str, str], cells: list[str], told: Told | None
) -> str:
    await run_in_threadpool(_record, request, sheet)
    if said.get("fault") not in guide().pictures:
        raise Refused(Fault("fault", "no picture is tapped", "tap what it looks like"))
    spot = " ".join(str(one) for one in cells_of(" ".join(cells)))
    who = [said["who"]] if said.get("who") else []
    if not who:
        raise Refused(Fault("who", "nobody says so", "tap who found it"))
    facts: dict[str, str | float] = {"fault": said["fault"]}
    if spot:
        facts["spot"] = spot
    photo = await sent_photo(form)
    if photo is not None:
        kept = await run_in_threadpool(keep_sent, request, sheet, photo, who, told)
        facts["photo"] = str(kept.facts["photo"])
    answer = await run_in_threadpool(note, request, "fault", who=who, sheet=sheet, facts=facts, told=told)
    return answer.event.id


def _new(
    request: Request, sheet: str, said: dict[str, str], cells: Any, faults: tuple[Fault, ...]
) -> HTMLResponse:
    record = _record(request, sheet)
    people = list(place_of(request).shop().people)
    here = _work(request).floor()[1].here
    last = [person for one in record.way for person in one.who if person in here] or list(here)
    return show(
        request,
        "fault_new.html",
        status=422 if faults else 200,
        record=record,
        pictures=list(guide().pictures.values()),
        cells=cells,
        cell_words=cell_words,
        most_mb=MOST_BYTES // 2**20,
        people=people,
        said={"who": last[-1] if last else ""} | said,
        faults=faults,
    )


def _case(request: Request, fault: str, said: dict[str, str], faults: tuple[Fault, ...]) -> HTMLResponse:
    asked = _asked(request)
    found = find_case(asked, fault)
    place, record = place_of(request), _record(request, found.sheet)
    first = next(iter((*found.tests, *found.looks)), None)
    topics = dict.fromkeys(
        [topic for one in found.ranked for topic in found.causes[one.cause].cautions]
        + [topic for one in found.tests for topic in one.question.cautions]
    )
    return show(
        request,
        "fault.html",
        status=422 if faults else 200,
        case=found,
        record=record,
        now_test=first,
        nexts={one.cause: next_sheets(asked, found, found.causes[one.cause]) for one in found.ranked},
        sure=lambda share: next(word for least, word in SURE if share >= least),
        likelihoods={value: name.replace("_", " ") for name, value in guide().words.items()},
        people=list(place.shop().people),
        who=said.get("who") or (found.told[-1].who[0] if found.told else found.who[0] if found.who else ""),
        said=said,
        faults=faults,
        zone=place.zone(),
        undo=_undo(found, request),
        cautions=cautions_for("hot", *topics),
        wet_charges=weighed_undried(asked, found.closed.dried_lots) if found.closed else [],
        drawing=_drawing(request, found, record),
    )


def _drawing(request: Request, found: Case, record: SheetRecord) -> str:
    """The thickness map with the way that it rises; empty where shape is not the matter, or nothing was read."""
    if found.fault.id not in SHAPED or record.measured is None:
        return ""
    place = place_of(request)
    quality = quality_of(record.measured, nominal_mm=record.thickness_mm, shop=place.shop())
    if quality is None:
        return ""
    return thickness_map_svg(
        [(one.x, one.y, one.thickness) for one in quality.points],
        quality.size,
        (quality.map.slope_x, quality.map.slope_y),
        known=quality.directions,
        shown=place.shown(),
    )


def _undo(found: Case, request: Request) -> tuple[str, int, int] | None:
    """The last entry, until when it can be taken back by the app's clock [ms], and how many seconds that is; None:
    it can't any more."""
    at, entry = found.last_entry
    until, now = at + timedelta(seconds=UNDO), place_of(request).instant()
    if until <= now:
        return None
    return entry, int(until.timestamp() * 1000), int((until - now).total_seconds())


def _again(request: Request, fault: str) -> Case:
    return find_case(_asked(request), fault)


def _asked(request: Request) -> Asked:
    place, work = place_of(request), _work(request)
    shop = place.shop()
    board = work.board()
    return Asked(
        store=board.store,
        recent=board.events(place.instant()),
        plan=work.plan(),
        shop=shop,
        frozen=board.frozen,
    )


def _record(request: Request, sheet: str) -> SheetRecord:
    return _work(request).record(sheet)


def _work(request: Request) -> Floorwork:
    work: Floorwork = request.app.state.floor
    return work
