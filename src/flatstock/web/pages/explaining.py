"""How the numbers come about, in writing."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.exceptions import HTTPException

from flatstock.web.explained import ADDRESS, explanation, explanations
from flatstock.web.page import show

__all__ = ["router"]

router = APIRouter()
_BESIDE_FILES = ("commands", "set-up")


@router.get(ADDRESS, response_class=HTMLResponse)
def contents(request: Request) -> Response:
    """What there is to be read."""
    known = explanations()
    kept = [one for one in known if one.name.startswith("files/") or one.name in _BESIDE_FILES]
    return show(
        request,
        "explanations.html",
        numbers=[one for one in known if one not in kept],
        kept=kept,
        root=ADDRESS,
    )


@router.get(ADDRESS + "/{name:path}", response_class=HTMLResponse)
def one(request: Request, name: str) -> Response:
    """One explanation."""
    found = explanation(name)
    if found is None:
        raise HTTPException(404)
    return show(request, "explanation.html", one=found, root=ADDRESS)
