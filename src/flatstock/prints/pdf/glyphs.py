"""Which letters a font can show, read from its own table."""

from __future__ import annotations

import struct
from functools import cache
from pathlib import Path

__all__ = ["letters_of", "missing"]

#: invisible, so no font needs a shape for them
_SHAPELESS = frozenset("\n\r\t\u200b\u2060")
#: letters of nobody's alphabet: a font may draw anything there, and PDF/UA-1 refuses them
_PRIVATE = range(0xE000, 0xF900)


def missing(text: str, font: Path) -> str:
    """The letters of `text` that `font` cannot show, each once, in order."""
    known = letters_of(font)
    return "".join(
        dict.fromkeys(letter for letter in text if ord(letter) not in known and letter not in _SHAPELESS)
    )


@cache
def letters_of(font: Path) -> frozenset[int]:
    """The code points of an OpenType font without its private ones, from the format 12 part of its `cmap`.

    Raises
    ------
    ValueError
        The font has no such part.

    Source
    ------
    OpenType specification, "cmap — Character To Glyph Index Mapping Table", format 12 (from memory;
    a test has the typesetter, which reads fonts by itself, show them all).
    """
    data = font.read_bytes()
    (count,) = struct.unpack_from(">H", data, 4)
    tables = {
        data[at : at + 4]: struct.unpack_from(">I", data, at + 8)[0] for at in range(12, 12 + 16 * count, 16)
    }
    start = tables[b"cmap"]
    (parts,) = struct.unpack_from(">H", data, start + 2)
    for part in range(parts):
        at = start + struct.unpack_from(">I", data, start + 8 + 8 * part)[0]
        if struct.unpack_from(">H", data, at)[0] == 12:
            return frozenset(_groups(data, at))
    raise ValueError(f"{font.name} has no format 12 character map")


def _groups(data: bytes, at: int) -> list[int]:
    (groups,) = struct.unpack_from(">I", data, at + 12)
    found: list[int] = []
    for group in range(groups):
        first, last, _ = struct.unpack_from(">III", data, at + 16 + 12 * group)
        found.extend(code for code in range(first, last + 1) if code not in _PRIVATE)
    return found
