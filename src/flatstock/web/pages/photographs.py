"""A photograph of a sheet, taken with the phone that is in the hand."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from flatstock.actions.photos import photo as photo_kept
from flatstock.actions.sheet_record import SheetRecord
from flatstock.errors import Fault, Refused
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import done, told_of
from flatstock.web.photos import keep_sent, photos_of, sent_photo

__all__ = ["router"]

router = APIRouter()


@router.post("/record/{sheet}/photo")
async def take(request: Request, sheet: str) -> Response:
    """Keep it, and note who took it."""
    async with request.form() as form:
        who = str(form.get("who") or "")
        if not who:
            raise Refused(Fault("who", "nobody says so", "tap who took it"))
        await run_in_threadpool(_record, request, sheet)
        photo = await sent_photo(form)
        told = told_of(request, form)
    if photo is None:
        raise Refused(Fault("photograph", "none was chosen", "take one, or choose one"))
    await run_in_threadpool(keep_sent, request, sheet, photo, [who], told)
    request.app.state.live.tell()
    return done(request, f"/record/{sheet}#photos")


@router.get("/record/{sheet}/photo/{key}")
def photograph(request: Request, sheet: str, key: str) -> Response:
    """One that the sheet's record names, and no other."""
    work: Floorwork = request.app.state.floor
    named = {one.key for one in photos_of(_record(request, sheet))}
    found = photo_kept(work.board().store, key) if key in named else None
    if found is None:
        raise HTTPException(404)
    kind, data = found
    return Response(data, media_type=kind, headers={"cache-control": "private, max-age=31536000, immutable"})


def _record(request: Request, sheet: str) -> SheetRecord:
    work: Floorwork = request.app.state.floor
    return work.record(sheet)
