"""Photographs of sheets: kept once by what is in them, bounded, and of a kind that browsers show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from sqlalchemy import Connection, exists, insert, select

from flatstock.errors import Fault, Refused
from flatstock.records.tables.events import event
from flatstock.records.tables.sheets import photo
from flatstock.records.tables.stock import withdrawn

__all__ = ["KIND", "MOST", "PhotoNote", "photo_of", "photos_of", "put", "type_of"]

MOST = 8 * 1024 * 1024  #: bytes of one photograph
KIND = "photographed"  #: the event that says whose photograph it is
KINDS = (KIND, "fault")  #: a fault that was found may bring its photograph along
_BEGINS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoNote:
    """One photograph of a sheet, without its bytes."""

    event: str
    key: str
    at: datetime
    who: tuple[str, ...]
    of: str | None  #: what it shows, in a few words


def type_of(data: bytes) -> str | None:
    """What kind of picture bytes are, by how they begin, whatever they are called; None: none that is kept.

    >>> type_of(b"GIF89a"), type_of(bytes([0xFF, 0xD8, 0xFF, 0xE0]))
    (None, 'image/jpeg')
    """
    found = next((kind for begins, kind in _BEGINS.items() if data.startswith(begins)), None)
    return "image/webp" if found is None and data[:4] == b"RIFF" and data[8:12] == b"WEBP" else found


def put(db: Connection, data: bytes, at: datetime) -> str:
    """Keep a photograph; its key. Raises `Refused` where it is too large, or no JPEG, PNG or WebP."""
    kind = type_of(data)
    if kind is None:
        raise Refused(Fault("photo", "this is no picture that is kept", "send a JPEG, PNG or WebP"))
    if len(data) > MOST:
        what = f"the picture has {len(data) / 1048576:.1f} MB, more than {MOST // 1048576}"
        raise Refused(Fault("photo", what, "let the camera take smaller ones"))
    key = sha256(data).hexdigest()
    if db.execute(select(photo.c.key).where(photo.c.key == key)).first() is None:
        db.execute(insert(photo), [{"key": key, "type": kind, "bytes": data, "at": at}])
    return key


def photo_of(db: Connection, key: str) -> tuple[str, bytes] | None:
    """The kind and the bytes of a photograph; None: no such one."""
    row = db.execute(select(photo.c.type, photo.c.bytes).where(photo.c.key == key)).first()
    return None if row is None else (row.type, bytes(row.bytes))


def photos_of(db: Connection, sheets: Sequence[str]) -> dict[str, list[PhotoNote]]:
    """Photographs by sheet, oldest first; those whose telling was undone are left out."""
    query = (
        select(event)
        .where(event.c.kind.in_(KINDS), event.c.sheet.in_(sheets))
        .where(~exists().where(withdrawn.c.event == event.c.id))
        .order_by(event.c.seq)
    )
    found: dict[str, list[PhotoNote]] = {}
    for r in db.execute(query):
        if not isinstance(r.facts.get("photo"), str):
            continue
        note = PhotoNote(
            event=r.id,
            key=r.facts["photo"],
            at=r.at,
            who=tuple(r.who),
            of=r.facts.get("of") or r.facts.get("fault"),
        )
        found.setdefault(r.sheet, []).append(note)
    return found
