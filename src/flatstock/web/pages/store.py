"""Flake and sheets in store."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.kept import kept_plan
from flatstock.web.page import place_of, show

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


@router.get("/store", response_class=HTMLResponse)
def store(request: Request) -> Response:
    """Lots by status, what the plan draws from each, offcuts."""
    place = place_of(request)
    shop, plan = place.shop(), kept_plan(place.folder)
    drawn: dict[str, float] = {}
    for sheet in plan["sheets"] if plan else ():
        for part in sheet["lots"]:
            drawn[part["lot"]] = drawn.get(part["lot"], 0.0) + part["mass_kg"]
    lots = sorted(shop.lots.values(), key=lambda lot: (ORDER.index(lot.status), lot.id))
    return show(
        request,
        "store.html",
        lots=lots,
        drawn=drawn,
        words=WORDS,
        offcuts=list(shop.offcuts.values()),
        plan=plan,
    )
