"""A sheet's record page behind its label's QR, its prints, and what happened on the floor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.recycled_content import recycled_content
from flatstock.actions.sheet_record import SheetRecord, record_of
from flatstock.errors import Fault, Refused
from flatstock.prints.pdf.record import LABELS, label_pdf, record_pdf
from flatstock.prints.words import clock, day
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show
from flatstock.web.pages.access import qr_svg
from flatstock.web.papers import paper_of

__all__ = ["router"]

router = APIRouter()
SHOWN = 100  #: happenings on one page
UNITS = {"mm": "mm", "kg": "kg"}


@router.get("/record/{sheet}", response_class=HTMLResponse)
def record(request: Request, sheet: str) -> Response:
    """Everything on record of a sheet."""
    found = _record(request, sheet)
    text = found.label_text(_address(request))
    return show(
        request,
        "record.html",
        record=found,
        shares=_shares(found),
        content=recycled_content(dict(found.lots), place_of(request).shop()) if found.weighed else None,
        measures=_measures(found),
        qr=qr_svg(text, scale=4),
        text=text,
        labels=list(LABELS),
    )


@router.get("/record/{sheet}/paper.pdf")
def record_paper(request: Request, sheet: str) -> Response:
    """The record on paper."""
    found, shop = _record(request, sheet), place_of(request).shop()
    document = _document(request, found)
    return paper_of(
        lambda path: record_pdf(document, path, shop.paper, shop.units_shown), f"record-{sheet}.pdf"
    )


@router.get("/record/{sheet}/label.pdf")
def label(request: Request, sheet: str, on: Annotated[str, Query(max_length=20)] = "sheet") -> Response:
    """Its label, on a sheet of eight or for a label printer."""
    if on not in LABELS:
        raise Refused(Fault("on", f"labels are not printed on {on!r}", f"one of {', '.join(LABELS)}"))
    found, shop = _record(request, sheet), place_of(request).shop()
    one = _document(request, found)
    return paper_of(
        lambda path: label_pdf([one], path, on, shop.paper, shop.units_shown), f"label-{sheet}.pdf"
    )


@router.get("/happened", response_class=HTMLResponse)
def happened(request: Request) -> Response:
    """What was noted last, with who, when and why."""
    work: Floorwork = request.app.state.floor
    place = place_of(request)
    place.shop()
    events = work.board().events(place.instant())[-SHOWN:]
    return show(request, "happened.html", events=list(reversed(events)), zone=place.zone())


def _record(request: Request, sheet: str) -> SheetRecord:
    work: Floorwork = request.app.state.floor
    shop = place_of(request).shop()
    board = work.board()
    return record_of(sheet, board.of_sheet(sheet), work.plan(), shop, board.frozen(sheet))


def _address(request: Request) -> str:
    """Where other devices find the app; empty where it serves this machine alone."""
    addresses: tuple[str, ...] = request.app.state.addresses
    return addresses[0] if addresses else ""


def _shares(found: SheetRecord) -> list[tuple[str, float, float]]:
    whole = sum(mass for _, mass in found.lots) or 1.0
    return [(lot, mass, mass / whole) for lot, mass in found.lots]


def _measures(found: SheetRecord) -> list[tuple[str, float, str]]:
    """Name, number and unit of each measure."""
    said = []
    for name, value in found.measures.items():
        stem, _, unit = name.rpartition("_")
        said.append((stem.replace("_", " ") if unit in UNITS else name, value, UNITS.get(unit, "")))
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
        "lots": _shares(found),
        "recycled": recycled_content(dict(found.lots), place_of(request).shop()) if found.weighed else None,
        "way": [
            {"at": one.at, "what": one.what, "where": one.where, "who": one.who, "facts": one.facts}
            for one in found.way
        ],
        "measures": [(name, f"{value:g} {unit}".rstrip()) for name, value, unit in _measures(found)],
        "mark": found.mark,
        "cautions": list(found.cautions),
        "foot": f"Made {day(made)}, {clock(made)}, from the workshop's records.",
        "text": found.label_text(_address(request)),
    }
