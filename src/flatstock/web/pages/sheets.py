"""The sheets on record, and from each to its own page."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.sheet_list import sheets_on_record
from flatstock.running.sheets import planned
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of, show
from flatstock.web.paging import Leaf

__all__ = ["router"]

router = APIRouter()
ON_A_PAGE = 40


@router.get("/store/sheets", response_class=HTMLResponse)
def sheets(
    request: Request,
    q: Annotated[str, Query(max_length=80)] = "",
    page: Annotated[int, Query(ge=1, le=100_000)] = 1,
) -> Response:
    """Every sheet that something was weighed for, the newest first."""
    work: Floorwork = request.app.state.floor
    found, number, rows = sheets_on_record(work.board().store, q, number=page, most=ON_A_PAGE)
    pages = max(1, -(-found // ON_A_PAGE))
    first = (number - 1) * ON_A_PAGE + 1
    leaf = Leaf(rows=rows, number=number, pages=pages, found=found, first=first, word=q.strip())
    return show(request, "sheets.html", leaf=leaf, known=planned(work.plan()), zone=place_of(request).zone())
