"""Forward from a lot to sheets and orders, back from a sheet to lots, and how recycled either is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.lot_state import held_through
from flatstock.actions.many_sheets import sheets_weighed_of
from flatstock.actions.recycled_content import recycled_content, sum_of_lots
from flatstock.actions.sheet_record import SheetRecord
from flatstock.actions.tracing import MOST, ON_A_PAGE, Recall, ancestry_of, recall_of
from flatstock.errors import Fault, Refused
from flatstock.plastics.safety import cautions_for
from flatstock.prints.pdf.recall import recall_pdf, recycled_pdf
from flatstock.prints.shown import Shown
from flatstock.prints.words import clock, day, plastic_name
from flatstock.running.sheets import planned
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show
from flatstock.web.papers import paper_of
from flatstock.web.reasons import reasons_of
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["router"]

router = APIRouter()
Name = Annotated[str, Query(max_length=80)]


@router.get("/store/lot/{lot}/trace", response_class=HTMLResponse)
def trace(request: Request, lot: str) -> Response:
    """Everything that holds some of a lot."""
    recall = _recall(request, lot, most=ON_A_PAGE)
    shop = place_of(request).shop()
    through = {one.id: held_through(shop, one) for one, _ in recall.lots}
    return show(request, "trace.html", recall=recall, through=through, cautions=cautions_for("claims"))


@router.get("/store/lot/{lot}/trace.pdf")
def trace_paper(request: Request, lot: str) -> Response:
    """The same, to call customers by."""
    document, shop = _on_paper(request, _recall(request, lot)), place_of(request).shop()
    return paper_of(request, lambda path: recall_pdf(document, path, shop.paper), f"recall-{lot}.pdf")


@router.get("/store/sheet/{sheet}", response_class=HTMLResponse)
def ancestry(request: Request, sheet: str) -> Response:
    """Back from a sheet to every lot that it holds some of."""
    place = place_of(request)
    shop, record = place.shop(), _work(request).record(sheet)
    content = recycled_content(dict(record.lots), shop) if record.weighed else None
    return show(
        request,
        "ancestry.html",
        record=record,
        ancestry=ancestry_of(record, shop),
        masses=dict(record.lots),
        content=content,
        reasons=reasons_of(content, place.shown()) if content else [],
    )


@router.get("/orders/recycled", response_class=HTMLResponse)
def recycled(request: Request, order: Name = "") -> Response:
    """How recycled the sheets of each order are, and one order in full."""
    place = place_of(request)
    shop = place.shop()
    rows = []
    for name, weighed in _weighed_of(request, _orders(request)).items():
        content = recycled_content(sum_of_lots(weighed.values()), shop)
        rows.append((name, shop.orders.get(name), len(weighed), content))
    chosen = next((row for row in rows if row[0] == order), None)
    if order and chosen is None:
        raise Refused(Fault("order", f"no order is called {order!r}", "see the list"))
    reasons = reasons_of(chosen[3], place.shown()) if chosen and chosen[3] else []
    return show(request, "recycled.html", rows=rows, chosen=chosen, reasons=reasons)


@router.get("/orders/recycled.pdf")
def recycled_paper(request: Request, order: Name = "") -> Response:
    """A statement to go with an order."""
    place = place_of(request)
    shop, made = place.shop(), place.now()
    weighed = _weighed_of(request, [order])[order]
    content = recycled_content(sum_of_lots(weighed.values()), shop)
    if content is None:
        raise Refused(
            Fault("order", f"nothing has been weighed for {order!r} yet", "come back when it has been")
        )
    document = {
        "made_at": made.isoformat(),
        "shop": shop.name,
        "of": order,
        "as_of": f"as of {day(made)}, {clock(made)}",
        "content": content,
        "sheets": list(weighed),
        "cautions": cautions_for("claims"),
        "foot": "From the workshop's records of what was weighed; corrected weighings as corrected.",
    }
    return paper_of(
        request,
        lambda path: recycled_pdf(document, path, shop.paper, shop.units_shown),
        f"recycled-{order}.pdf",
    )


def _recall(request: Request, lot: str, *, most: int = MOST) -> Recall:
    place, work = place_of(request), _work(request)
    return recall_of(lot, work.board(), place.shop(), work.plan(), place.instant(), most=most)


def _orders(request: Request) -> list[str]:
    """Orders on the book, and those of the plan that are no longer on it."""
    shop, plan = place_of(request).shop(), _work(request).plan()
    return sorted({*shop.orders, *(one.order for one in planned(plan).values() if one.order)})


def _weighed_of(request: Request, orders: Sequence[str]) -> dict[str, dict[str, dict[str, float]]]:
    """By order its sheets that something was weighed for, with that by lot [kg]."""
    work = _work(request)
    of = {one.id: one.order for one in planned(work.plan()).values()}
    return sheets_weighed_of(orders, of, work.board().store)


def _on_paper(request: Request, recall: Recall) -> Mapping[str, Any]:
    place = place_of(request)
    shop, made, shown = place.shop(), place.now(), place.shown()

    def what(lot: Any) -> str:
        return " ".join(filter(None, (plastic_name(lot.plastic), lot.colour, lot.form)))

    return {
        "made_at": made.isoformat(),
        "shop": shop.name,
        "lot": recall.lot.id,
        "status": recall.lot.status,
        "as_of": f"as of {day(made)}, {clock(made)}",
        "orders": [
            (one.id, one.order.what if one.order else "", ", ".join(one.sheets), ", ".join(one.planned))
            for one in recall.orders
        ],
        "sheets": [
            (
                one.sheet,
                _what(one.record, shown),
                one.record.state if one.record else "",
                one.where,
                " + ".join(one.through),
            )
            for one in recall.sheets
        ],
        "lots": [
            (lot.id, what(lot), _state(shop, lot), shown.mass(lot.mass), " + ".join(by))
            for lot, by in recall.lots
        ],
        "offcuts": list(recall.offcuts),
        "planned": list(recall.planned),
        "cautions": cautions_for("claims"),
        "foot": f"From the workshop's records, as of {day(made)}, {clock(made)}.",
    }


def _state(shop: Workshop, lot: Lot) -> str:
    through = held_through(shop, lot)
    return f"held: {through}" if through else lot.status


def _what(record: SheetRecord | None, shown: Shown) -> str:
    if record is None:
        return ""
    size = "" if record.thickness_mm is None else shown.size(record.thickness_mm)
    return " ".join(filter(None, (plastic_name(record.plastic), record.colour, size)))


def _work(request: Request) -> Floorwork:
    work: Floorwork = request.app.state.floor
    return work
