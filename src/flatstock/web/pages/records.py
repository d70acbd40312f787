"""A sheet's record page behind its label's QR, and its prints."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.event_words import fact_words
from flatstock.actions.fault_book import Waiting, proofs_wanted
from flatstock.actions.recycled_content import recycled_content
from flatstock.actions.sheet_quality import SheetQuality, density_of_plastic, quality_of, readings_before
from flatstock.actions.sheet_record import SheetRecord
from flatstock.actions.tracing import held_words
from flatstock.errors import Fault, Refused, UserError
from flatstock.prints.drawing.thickness_map import thickness_map_svg
from flatstock.prints.pdf.labels import LABELS, label_pdf
from flatstock.prints.pdf.record import record_pdf
from flatstock.prints.words import clock, day
from flatstock.running.sheets import planned
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, note, told_of
from flatstock.web.page import addresses_of, place_of, show
from flatstock.web.pages.access import qr_svg
from flatstock.web.papers import paper_of
from flatstock.web.photos import photos_of
from flatstock.web.reasons import reasons_of

__all__ = ["router"]

router = APIRouter()
CUT_TEST = ": cut test, look at the core before it is sold"
UNITS = {"mm": "mm", "kg": "kg"}


@router.get("/record/{sheet}", response_class=HTMLResponse)
def record(request: Request, sheet: str) -> Response:
    """Everything on record of a sheet."""
    return _page(request, sheet, ())


@router.post("/record/{sheet}/trimmed")
async def trimmed(request: Request, sheet: str) -> Response:
    """Its edges are sawn: with that it leaves the floor."""
    sent = await request.form()
    who = [str(one) for one in sent.getlist("who") if one]
    place = str(sent.get("place") or "")[:80] or None
    told = told_of(request, sent)
    try:
        await run_in_threadpool(note, request, "trimmed", who=who, sheet=sheet, place=place, told=told)
    except UserError as error:
        return await run_in_threadpool(_page, request, sheet, error.faults)
    return done(request, f"/record/{sheet}")


def _page(request: Request, sheet: str, faults: tuple[Fault, ...]) -> HTMLResponse:
    found, shop = _record(request, sheet), place_of(request).shop()
    text = found.label_text(_address(request))
    kinds = {one.kind for one in found.way}
    return show(
        request,
        "record.html",
        status=422 if faults else 200,
        faults=faults,
        to_trim="demoulded" in kinds and kinds.isdisjoint(("trimmed", "scrapped")),
        saws=[one.id for one in shop.places.values() if one.kind == "saw"],
        sawyers=[one.id for one in shop.people.values() if "saw" in one.skills],
        record=found,
        shares=_shares(found),
        content=recycled_content(dict(found.lots), shop) if found.weighed else None,
        held=held_words(found, shop),
        measures=_measures(found),
        qr=qr_svg(text, scale=4),
        text=text,
        labels=list(LABELS),
        photos=photos_of(found),
        people=list(shop.people),
        proofs=_proofs(request, sheet),
        **_quality(request, found),
    )


@router.get("/record/{sheet}/paper.pdf")
def record_paper(request: Request, sheet: str) -> Response:
    """The record on paper."""
    found, shop = _record(request, sheet), place_of(request).shop()
    document = _document(request, found)
    return paper_of(
        request, lambda path: record_pdf(document, path, shop.paper, shop.units_shown), f"record-{sheet}.pdf"
    )


@router.get("/record/{sheet}/label.pdf")
def label(request: Request, sheet: str, on: Annotated[str, Query(max_length=20)] = "sheet") -> Response:
    """Its label, on a sheet of eight or for a label printer."""
    if on not in LABELS:
        raise Refused(Fault("on", f"labels are not printed on {on!r}", f"one of {', '.join(LABELS)}"))
    found, shop = _record(request, sheet), place_of(request).shop()
    one = _document(request, found)
    return paper_of(
        request, lambda path: label_pdf([one], path, on, shop.paper, shop.units_shown), f"label-{sheet}.pdf"
    )


@router.get("/orders/labels.pdf")
def labels_of_order(
    request: Request,
    order: Annotated[str, Query(max_length=80)] = "",
    on: Annotated[str, Query(max_length=20)] = "sheet",
) -> Response:
    """The labels of every sheet of an order that has been pressed: eight on a sheet of paper, or one after another."""
    if on not in LABELS:
        raise Refused(Fault("on", f"labels are not printed on {on!r}", f"one of {', '.join(LABELS)}"))
    work: Floorwork = request.app.state.floor
    shop = place_of(request).shop()
    sheets = sorted(one.id for one in planned(work.plan()).values() if one.order == order)
    records = [_record(request, one) for one in sheets]
    pressed = [_document(request, one) for one in records if one.pressed is not None]
    if not pressed:
        raise Refused(Fault("order", f"no sheet of {order!r} has been pressed yet", "come back when one has"))
    return paper_of(
        request,
        lambda path: label_pdf(pressed, path, on, shop.paper, shop.units_shown),
        f"labels-{order}.pdf",
    )


def _proofs(request: Request, sheet: str) -> list[Waiting]:
    """Faults of other sheets whose remedy this one shall prove; nothing to who is not paired."""
    if request.state.visitor.role is None:
        return []
    work: Floorwork = request.app.state.floor
    return proofs_wanted(work.board().store, sheet)


def _quality_of(request: Request, found: SheetRecord) -> SheetQuality | None:
    """What its nine points say; None where they were not read."""
    place = place_of(request)
    shop = place.shop()
    work: Floorwork = request.app.state.floor
    told = found.measured
    if told is None:
        return None
    press = next((one.where for one in found.way if one.kind == "loaded"), None)
    return quality_of(
        told,
        nominal_mm=found.thickness_mm,
        shop=shop,
        plastic_density=density_of_plastic(shop, found.plastic),
        before=readings_before(work.board().events(place.instant()), found.sheet, shop),
        press=press,
    )


def _quality_document(request: Request, found: SheetRecord) -> dict[str, Any] | None:
    """The same for its record on paper."""
    quality = _quality_of(request, found)
    if quality is None:
        return None
    grade = quality.grade
    return {
        "mean_mm": quality.map.mean * 1000,
        "least_mm": quality.map.least * 1000,
        "most_mm": quality.map.most * 1000,
        "corners_mm": quality.corners * 1000,
        "residual_mm": quality.map.residual * 1000,
        "grade": grade.grade if grade else None,
        "not_measured": list(grade.not_measured) if grade else [],
        "because": list(grade.because) if grade else [],
    }


def _quality(request: Request, found: SheetRecord) -> dict[str, Any]:
    """What its nine points say, with a drawing; nothing where they were not read."""
    place = place_of(request)
    quality = _quality_of(request, found)
    if quality is None:
        return {"quality": None}
    drawing = thickness_map_svg(
        [(one.x, one.y, one.thickness) for one in quality.points],
        quality.size,
        (quality.map.slope_x, quality.map.slope_y),
        known=quality.directions,
        shown=place.shown(),
    )
    given = {
        "mean_mm": quality.map.mean * 1000,
        "wedge_mm": quality.corners * 1000,
        "residual_mm": quality.map.residual * 1000,
        "why": quality.why,
    }
    return {
        "quality": quality,
        "quality_drawing": drawing,
        "quality_reasons": reasons_of(given, place.shown()),
    }


def _record(request: Request, sheet: str) -> SheetRecord:
    work: Floorwork = request.app.state.floor
    return work.record(sheet)


def _address(request: Request) -> str:
    """Where other devices find the app; empty where it serves this machine alone."""
    addresses = addresses_of(request)
    return addresses[0] if addresses else ""


def _shares(found: SheetRecord) -> list[tuple[str, float, float]]:
    whole = sum(mass for _, mass in found.lots) or 1.0
    return [(lot, mass, mass / whole) for lot, mass in found.lots]


def _measures(found: SheetRecord) -> list[tuple[str, float, str]]:
    """Name, number and unit of each measure."""
    said = []
    for name, value in found.measures.items():
        stem, _, unit = name.rpartition("_")
        said.append((fact_words(stem) if unit in UNITS else name, value, UNITS.get(unit, "")))
    return said


def _document(request: Request, found: SheetRecord) -> Mapping[str, Any]:
    """The words of its prints."""
    made = place_of(request).now()
    return {
        "made_at": made.isoformat(),
        "sheet": found.sheet,
        "shop": found.shop,
        "order": found.order,
        "state": found.state,
        "plastic": found.plastic,
        "marking": found.marking,
        "colour": found.colour,
        "thickness_mm": found.thickness_mm,
        "length_mm": found.length_mm,
        "width_mm": found.width_mm,
        "pressed": day(found.pressed) if found.pressed else "not yet",
        "not_before": f"{day(found.not_sized_before)}, {clock(found.not_sized_before)}"
        if found.not_sized_before
        else "",
        "set_point_C": found.set_point_C,
        "dwell_min": found.dwell_min,
        "dwell_planned_min": found.dwell_planned_min,
        "frame": found.frame,
        "skins": found.skins,
        "recipe": found.recipe,
        "lots": _shares(found),
        "held": held_words(found, place_of(request).shop()),
        "recycled": recycled_content(dict(found.lots), place_of(request).shop()) if found.weighed else None,
        "way": [
            {"at": one.at, "what": one.what, "where": one.where, "who": one.who, "facts": one.facts}
            for one in found.way
        ],
        "deviations": [f"{one.what}{CUT_TEST if one.cut_test else ''}" for one in found.deviations],
        "measures": _measures(found),
        "quality": _quality_document(request, found),
        "mark": found.mark,
        "cautions": list(found.cautions),
        "foot": f"Made {day(made)}, {clock(made)}, from the workshop's records.",
        "text": found.label_text(_address(request)),
    }
