"""Photographs on pages: which a sheet has, and one that is sent with a form."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from starlette.datastructures import FormData, UploadFile

from flatstock.actions.pictures import MOST_BYTES, checked
from flatstock.actions.sheet_record import SheetRecord

__all__ = ["Shot", "photos_of", "sent_photo"]


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
