"""Flake and sheets in store."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.lot_state import held_through
from flatstock.actions.many_sheets import still_drawn
from flatstock.actions.wet_flake import is_wet
from flatstock.prints.words import plastic_name
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show
from flatstock.web.paging import leaf_of
from flatstock.workshop.shop import Lot

__all__ = ["router"]

router = APIRouter()
ORDER = ("released", "received", "quarantine", "blocked", "empty")
WORDS = {
    "released": "may be pressed",
    "received": "not yet looked at: can't be weighed",
    "quarantine": "held: can't be weighed",
    "blocked": "must not be pressed: can't be weighed",
    "empty": "used up",
}
ON_A_PAGE = 60  #: lots; what is in store is seen at a glance in most shops
Looked = Annotated[str, Query(max_length=80)]
Number = Annotated[int, Query(ge=1, le=100_000)]


@router.get("/store", response_class=HTMLResponse)
def store(request: Request, q: Looked = "", page: Number = 1) -> Response:
    """Lots in store by status, what the plan draws from each, offcuts."""
    return _store(request, q, page, used_up=False)


@router.get("/store/used-up", response_class=HTMLResponse)
def used_up(request: Request, q: Looked = "", page: Number = 1) -> Response:
    """Lots of which nothing is left: kept for whoever asks what a sheet was made of."""
    return _store(request, q, page, used_up=True)


def _store(request: Request, word: str, number: int, *, used_up: bool) -> Response:
    work: Floorwork = request.app.state.floor
    shop, plan = place_of(request).shop(), work.plan()
    drawn = still_drawn(plan["sheets"] if plan else (), work.board().store)
    gone = {lot.id for lot in shop.lots.values() if _used_up(lot) and lot.id not in drawn}
    lots = [lot for lot in shop.lots.values() if (lot.id in gone) is used_up]
    lots.sort(key=lambda lot: (ORDER.index(lot.status), lot.id))
    return show(
        request,
        "store.html",
        leaf=leaf_of(lots, word=word, number=number, most=ON_A_PAGE, words=_looked_through),
        used_up=used_up,
        others=len(shop.lots) - len(lots),
        drawn=drawn,
        words=WORDS,
        wet=is_wet,
        held_through=lambda lot: held_through(shop, lot),
        offcuts=[] if used_up else list(shop.offcuts.values()),
    )


def _used_up(lot: Lot) -> bool:
    """Emptied, or holding nothing by the book; one that is held stays in sight until somebody says that it is empty."""
    return lot.status == "empty" or (lot.status in ("released", "received") and lot.mass <= 0)


def _looked_through(lot: Lot) -> str:
    """What a search finds a lot by."""
    said = (lot.id, lot.plastic, plastic_name(lot.plastic), lot.colour, lot.form, lot.status, lot.origin)
    return " ".join(filter(None, (*said, *lot.parents))).replace("_", " ")
