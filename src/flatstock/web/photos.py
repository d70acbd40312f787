"""Photographs on pages: which a sheet has, and one that is sent with a form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fastapi import Request
from starlette.datastructures import FormData, UploadFile

from flatstock.actions.board import Event
from flatstock.actions.photos import keep_photo
from flatstock.actions.pictures import MOST_BYTES, checked
from flatstock.actions.sheet_record import SheetRecord
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import Told
from flatstock.web.page import place_of

__all__ = ["Shot", "keep_sent", "photos_of", "sent_photo"]


@dataclass(frozen=True, slots=True)
class Shot:
    """A photograph of a sheet."""

    key: str
    at: datetime
    who: tuple[str, ...]


def photos_of(record: SheetRecord) -> list[Shot]:
    """The photographs of a sheet, those of its faults too, the latest first."""
    found = {
        str(one.told["photo"]): Shot(str(one.told["photo"]), one.at, one.who)
        for one in record.way
        if isinstance(one.told.get("photo"), str)
    }
    return list(found.values())[::-1]


async def sent_photo(form: FormData) -> bytes | None:
    """The photograph that came with a form, checked and without what a phone adds; None where none was chosen.

    Raises
    ------
    Refused
        It is too large, or no picture.
    """
    sent = form.get("photo")
    if not isinstance(sent, UploadFile) or not sent.filename:
        return None
    return checked(await sent.read(MOST_BYTES + 1)).data


def keep_sent(request: Request, sheet: str, photo: bytes, who: Sequence[str], told: Told | None) -> Event:
    """Keep a photograph that came with a form; one that a device tells of again is kept once."""
    work: Floorwork = request.app.state.floor
    return keep_photo(
        work.board().store,
        sheet,
        photo,
        at=place_of(request).instant() if told is None else told.at,
        who=who,
        device=request.state.device or None,
        told=None if told is None else told.part("photo").id,
    )
