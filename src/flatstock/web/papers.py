"""A print made for one request, sent, and gone again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from fastapi import Request
from fastapi.responses import Response

from flatstock.prints.pdf.typeset import said_as
from flatstock.web.page import place_of

__all__ = ["paper_of"]


def paper_of(request: Request, write: Callable[[Path], object], name: str) -> Response:
    """The PDF that `write` puts at the path it is given, its numbers and times as the shop reads them."""
    saying = place_of(request).saying()
    with TemporaryDirectory(prefix="flatstock-") as folder, said_as(saying.words, saying.svg):
        path = Path(folder) / "paper.pdf"
        write(path)
        data = path.read_bytes()
    safe = "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in "-._") else "-" for letter in name
    )
    return Response(
        data, media_type="application/pdf", headers={"content-disposition": f'inline; filename="{safe}"'}
    )
