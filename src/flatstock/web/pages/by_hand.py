"""Files of the folder that were changed by hand while the records are what counts: take them in, or leave them."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.actions.living import difference, leave_files, take_files
from flatstock.errors import UserError
from flatstock.web.page import place_of, show

__all__ = ["router"]

router = APIRouter()
WORDS = {
    "changed": "was changed by hand.",
    "new": "is new.",
    "gone": "is gone.",
    "older": "stands as the records once had it, not as they have it now.",
}


@router.get("/shop/by-hand", response_class=HTMLResponse)
def by_hand(request: Request) -> Response:
    """What was changed, and what can be done about it."""
    return _page(request, {})


@router.post("/shop/by-hand")
async def decide(request: Request) -> Response:
    """Take the files in, or put them aside."""
    form = await request.form()
    said = {key: str(value)[:200].strip() for key, value in form.items() if isinstance(value, str)}
    return await run_in_threadpool(_decide, request, said)


def _decide(request: Request, said: dict[str, str]) -> Response:
    folder, now = place_of(request).folder, place_of(request).instant()
    who = [said["who"]] if said.get("who") else []
    try:
        if said.get("do") == "take":
            take_files(folder, at=now, who=who, why=said.get("why") or "changed by hand in the files")
        elif said.get("do") == "leave":
            left = [aside.name for _, aside in leave_files(folder, now=now) if aside is not None]
            return _page(request, {}, left=left)
    except UserError as error:
        return _page(request, said, faults=error.faults)
    request.app.state.live.tell()
    return RedirectResponse("/shop/by-hand", 303)


def _page(request: Request, said: dict[str, str], **given: Any) -> HTMLResponse:
    place = place_of(request)
    place.shop()
    return show(
        request,
        "by_hand.html",
        status=422 if given.get("faults") else 200,
        changes=place.hand_changes(),
        words=WORDS,
        lines={one.file: difference(place.folder, one.file) for one in place.hand_changes()},
        people=list(place.shop().people),
        said=said,
        **({"faults": (), "left": ()} | given),
    )
