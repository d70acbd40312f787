"""A print made for one request, sent, and gone again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from fastapi.responses import Response

__all__ = ["paper_of"]


def paper_of(write: Callable[[Path], object], name: str) -> Response:
    """The PDF that `write` puts at the path it is given."""
    with TemporaryDirectory(prefix="flatstock-") as folder:
        path = Path(folder) / "paper.pdf"
        write(path)
        data = path.read_bytes()
    safe = "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in "-._") else "-" for letter in name
    )
    return Response(
        data, media_type="application/pdf", headers={"content-disposition": f'inline; filename="{safe}"'}
    )
