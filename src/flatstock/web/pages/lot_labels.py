"""Labels of lots, for bag and box."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from flatstock.actions.lot_label import lot_label, lots_to_label
from flatstock.errors import Fault, Refused
from flatstock.prints.pdf.labels import LABELS, lot_label_pdf
from flatstock.web.page import addresses_of, place_of
from flatstock.web.papers import paper_of

__all__ = ["router"]

router = APIRouter()
On = Annotated[str, Query(max_length=20)]
MOST = 400  #: labels in one print


@router.get("/store/lot/{lot}/label.pdf")
def label(request: Request, lot: str, on: On = "sheet") -> Response:
    """One lot's label, on a sheet of eight or for a label printer."""
    return _labels(request, [lot], on, f"label-{lot}.pdf")


@router.get("/store/labels.pdf")
def labels(request: Request, on: On = "sheet") -> Response:
    """The labels of every lot of which something is left."""
    names = lots_to_label(place_of(request).shop())
    if not names:
        raise Refused(Fault("store", "no lot holds anything", "take one in first"))
    return _labels(request, names[:MOST], on, "labels-of-lots.pdf")


def _labels(request: Request, names: list[str], on: str, file: str) -> Response:
    if on not in LABELS:
        raise Refused(Fault("on", f"labels are not printed on {on!r}", f"one of {', '.join(LABELS)}"))
    place = place_of(request)
    shop = place.shop()
    addresses = addresses_of(request)
    made = [
        lot_label(shop, name, now=place.now(), address=addresses[0] if addresses else "") for name in names
    ]
    return paper_of(request, lambda path: lot_label_pdf(made, path, on, shop.paper, shop.units_shown), file)
