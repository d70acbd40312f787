"""Pictures that somebody sends: bounded, checked by what is in them, and without what a phone writes beside them."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.errors import Fault, Refused
from flatstock.records.photos import MOST

__all__ = ["MOST_BYTES", "Photo", "checked"]

MOST_BYTES = MOST
LEAST_SIDE, MOST_SIDE = 16, 16_000  # pixels
#: segments of a JPEG that say how it is to be drawn; the rest (where and when it was taken, by what) is left out
_JPEG_KEPT = {0xE0, 0xE2, 0xEE}
_PNG_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"pHYs"}
_PNG = b"\x89PNG\r\n\x1a\n"
_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photograph that may be kept."""

    data: bytes
    width: int  #: pixels, as it is stored
    height: int


def checked(data: bytes) -> Photo:
    """A JPEG or PNG without what a phone writes beside the picture. Raises `Refused` at anything else."""
    if not data:
        raise Refused(Fault("photograph", "the file is empty", "take it again"))
    if len(data) > MOST_BYTES:
        what = f"it has {len(data) / 2**20:.1f} MB, more than {MOST_BYTES // 2**20}"
        raise Refused(Fault("photograph", what, "let the camera take smaller ones"))
    try:
        if data.startswith(b"\xff\xd8\xff"):
            clean, width, height = _jpeg(data)
        elif data.startswith(_PNG):
            clean, width, height = _png(data)
        else:
            raise _broken("it is neither a JPEG nor a PNG")
    except (IndexError, ValueError, zlib.error):
        raise _broken("it breaks off") from None
    if not (LEAST_SIDE <= width <= MOST_SIDE and LEAST_SIDE <= height <= MOST_SIDE):
        raise _broken(f"it has {width} x {height} pixels")
    return Photo(data=clean, width=width, height=height)


def _jpeg(data: bytes) -> tuple[bytes, int, int]:
    """Its segments without those that say nothing of how it is drawn; a turned picture stays turned."""
    kept, size, turned, at = [b"\xff\xd8"], None, 1, 2
    while True:
        if data[at] != 0xFF:
            raise ValueError
        while data[at] == 0xFF:
            at += 1
        mark = data[at]
        at += 1
        if mark == 0xDA:
            break
        if mark in (0x01, 0xD8, 0xD9) or 0xD0 <= mark <= 0xD7:
            raise ValueError
        long = int.from_bytes(data[at : at + 2], "big")
        body = data[at + 2 : at + long]
        if long < 2 or len(body) != long - 2:
            raise ValueError
        if mark in _FRAMES:
            size = int.from_bytes(body[3:5], "big"), int.from_bytes(body[1:3], "big")
        if mark == 0xE1 and body.startswith(b"Exif\0\0"):
            turned = _turned(body[6:])
        if not 0xE0 <= mark <= 0xFE or mark in _JPEG_KEPT:
            kept.append(bytes((0xFF, mark)) + data[at : at + long])
        at += long
    end = data.rfind(b"\xff\xd9")
    if size is None or end <= at:
        raise ValueError
    if turned != 1:
        kept.insert(1, _exif(turned))
    return b"".join([*kept, b"\xff\xda", data[at : end + 2]]), *size


def _turned(tiff: bytes) -> int:
    """How a picture lies (tag 274 of its first directory), 1 to 8; 1 where nothing is said."""
    order = {b"II": "little", b"MM": "big"}.get(tiff[:2])
    if order is None:
        return 1
    little = order == "little"

    def number(at: int, long: int) -> int:
        return int.from_bytes(tiff[at : at + long], "little" if little else "big")

    start = number(4, 4)
    for n in range(min(number(start, 2), 200)):
        at = start + 2 + 12 * n
        if number(at, 2) == 274:
            found = number(at + 8, 2)
            return found if 1 <= found <= 8 else 1
    return 1


def _exif(turned: int) -> bytes:
    """A segment that says how a picture lies and nothing else."""
    tiff = b"MM\0*\0\0\0\x08\0\x01" + b"\x01\x12\0\x03\0\0\0\x01" + bytes((0, turned, 0, 0)) + b"\0\0\0\0"
    body = b"Exif\0\0" + tiff
    return b"\xff\xe1" + (len(body) + 2).to_bytes(2, "big") + body


def _png(data: bytes) -> tuple[bytes, int, int]:
    kept, size, ended = [_PNG], None, False
    for kind, body in _chunks(data):
        if kind == b"IHDR":
            size = int.from_bytes(body[:4], "big"), int.from_bytes(body[4:8], "big")
        if kind in _PNG_KEPT:
            sum_ = zlib.crc32(kind + body).to_bytes(4, "big")
            kept.append(len(body).to_bytes(4, "big") + kind + body + sum_)
        ended = kind == b"IEND"
    if size is None or not ended:
        raise ValueError
    return b"".join(kept), *size


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = len(_PNG)
    while at < len(data):
        long = int.from_bytes(data[at : at + 4], "big")
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + long]
        if (
            len(body) != long
            or zlib.crc32(kind + body).to_bytes(4, "big") != data[at + 8 + long : at + 12 + long]
        ):
            raise ValueError
        yield kind, body
        if kind == b"IEND":
            return
        at += 12 + long


def _broken(what: str) -> Refused:
    return Refused(Fault("photograph", what, "take it as JPEG or PNG"))
