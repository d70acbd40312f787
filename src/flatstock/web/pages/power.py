"""What the supply carries now, and why the board lets the saw start or not."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.power_now import LINES, power_now, power_reasons, said_of_saw
from flatstock.errors import Fault, Refused
from flatstock.plastics.safety import cautions_for
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show
from flatstock.web.reasons import reasons_of

__all__ = ["router"]

router = APIRouter()


@router.get("/power", response_class=HTMLResponse)
def power(request: Request) -> Response:
    """Amperes on each line against what the supply is rated for."""
    place = place_of(request)
    shop = place.shop()
    work: Floorwork = request.app.state.floor
    found = power_now(work.floor()[1], shop)
    if found is None:
        raise Refused(Fault("supply", "no supply.toml is on file", "write it, or enter it under The shop"))
    return show(
        request,
        "power.html",
        power=found,
        lines=LINES,
        saw=said_of_saw(found),
        reasons=reasons_of(power_reasons(found), place.shown()),
        cautions=cautions_for("electricity"),
    )
