"""The options that several commands share, each said once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from flatstock.cli.written import paper_name

__all__ = ["Cautions", "Fans", "Folder", "Json", "Now", "Pdf", "PlasticName", "Thickness"]

Cautions = Annotated[
    bool, Parameter(help="Show every caution, not only those that belong to every such answer.")
]
Folder = Annotated[Path, Parameter(name="FOLDER", help="The workshop: a folder of files.")]
Json = Annotated[bool, Parameter(help="Print the document that other programs read.")]
Now = Annotated[
    str | None,
    Parameter(
        metavar="TIME",
        help="Answer as if it were this time: 2026-03-02T13:00, or 13:00 for the next such moment.",
    ),
]
Pdf = Annotated[
    Path | None,
    Parameter(metavar="FILE", validator=paper_name, help="Also print it on paper, into this file."),
]
PlasticName = Annotated[str, Parameter(metavar="NAME", help="Which plastic: HDPE.")]
Thickness = Annotated[
    str, Parameter(metavar="LENGTH", help="Of the cold sheet, with its unit: 12mm or 1/2in.")
]
Fans = Annotated[
    Literal["on", "off"] | None, Parameter(help="Fans of the cooling place; else as the shop does it.")
]
