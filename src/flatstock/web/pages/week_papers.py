"""The papers of the week's plan, one at a time, and the emergency card, which needs no plan."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Request
from fastapi.responses import Response

from flatstock.actions.kept import kept_plan
from flatstock.errors import Fault, Refused
from flatstock.prints.pdf.plan import emergency_pdf, paper_names, plan_pdf
from flatstock.web.page import place_of
from flatstock.web.papers import paper_of

__all__ = ["router"]

router = APIRouter()


@router.get("/week/paper/{name}.pdf")
def week_paper(request: Request, name: Annotated[str, Path(max_length=40)]) -> Response:
    """Week board, time chart, or a day's weigh list, sheets and hand-over."""
    place = place_of(request)
    shop, plan = place.shop(), kept_plan(place.folder)
    if plan is None:
        raise Refused(Fault("week", "nothing is planned", "plan the week first"))
    names = paper_names(plan, shop.paper)
    if name not in names:
        raise Refused(Fault("paper", f"the week has none called {name!r}", f"one of {', '.join(names)}"))
    return paper_of(
        request,
        lambda path: plan_pdf(plan, name, path, shop.paper, shop.units_shown, shop.clock_face),
        f"{name}.pdf",
    )


@router.get("/emergency-card.pdf")
def emergency(request: Request) -> Response:
    """For the wall, not for a screen."""
    shop = place_of(request).shop()
    return paper_of(request, lambda path: emergency_pdf(shop.name, path, shop.paper), "emergency-card.pdf")
