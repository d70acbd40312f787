"""Where answers go: text or JSON to standard output, paper to a file, everything else to standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager, nullcontext
from contextvars import ContextVar
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from flatstock.cli.written import drawing_name, writing
from flatstock.errors import Fault

if TYPE_CHECKING:
    from flatstock.prints.saying import Saying

__all__ = [
    "aside", "document", "in_units_of", "paper", "papers", "picture", "refusal", "said_by", "table", "text",
]  # fmt: skip

#: the workshop that this call is about, as soon as that is known: refusals are said in its units
_WORKSHOP: ContextVar[Path | None] = ContextVar("workshop", default=None)
#: how it says numbers and times, as soon as that is known; None: as answers are written
_SAYING: ContextVar[Saying | None] = ContextVar("saying", default=None)

Document = Mapping[str, Any]


def text(words: str) -> None:
    """Print an answer for people, its numbers and times as the shop says them."""
    words = _said(words)
    sys.stdout.write(words if words.endswith("\n") else words + "\n")


def document(answer: Document) -> None:
    """Print an answer for programs: UTF-8, or in a terminal of another alphabet the escapes of JSON."""
    escaped = (sys.stdout.encoding or "utf-8").lower().replace("_", "-") not in ("utf-8", "utf8")
    sys.stdout.write(json.dumps(answer, ensure_ascii=escaped, indent=2, allow_nan=False) + "\n")


def aside(words: str) -> None:
    """Say something beside the answer, numbers and times as the shop says them."""
    sys.stderr.write(_said(words) + "\n")


def _said(words: str) -> str:
    saying = _SAYING.get()
    return words if saying is None else saying.words(words)


def in_units_of(folder: Path | None) -> None:
    """From now on refusals are said in the units of the workshop in `folder`; None: as they are, metric."""
    _WORKSHOP.set(folder)
    if _SAYING.get() is not None:
        said_by(None)


def said_by(saying: Saying | None) -> None:
    """From now on what is for people says numbers and times so: text, what is told beside it, paper and drawings.

    Documents and tables for a spreadsheet stay as they are. None: as answers are written.
    """
    from flatstock.prints.text import layout

    _SAYING.set(saying)
    layout.said_by(saying)


def refusal(faults: Iterable[Fault], *, as_json: bool, warnings: Iterable[str] = ()) -> None:
    """One sentence a fault, or a `flatstock.refusal/1`."""
    if as_json:
        listed = [{"what": f.what, "where": f.where, "instead": f.instead} for f in faults]
        document(
            {"format": "flatstock.refusal/1", "faults": listed, "cautions": [], "warnings": list(warnings)}
        )
        return
    folder = _WORKSHOP.get()
    if folder is not None:
        from flatstock.actions.workshops import units_of
        from flatstock.prints.room_lengths import in_units
        from flatstock.prints.shown import Shown

        system = units_of(folder)
        faults = [
            replace(fault, what=in_units(fault.what, system), instead=in_units(fault.instead, system))
            for fault in map(Shown(system).fault, faults)
        ]
    for fault in faults:
        aside(fault.sentence())


def paper(write: Callable[[Path], list[str]], path: Path) -> None:
    """Print on paper into `path` with `write`, which returns warnings about the print, and say so.

    Raises
    ------
    Refused
        It can't be written, though its name was a good one when the call began (`cli.written`).
    """
    with writing("--pdf", path), _on_paper():
        warnings = write(path)
    _written(path, warnings)


def picture(svg: str, path: Path) -> None:
    """Write a drawing into `path` and say so.

    Raises
    ------
    Refused
        Something else stands there, or it can't be written.
    """
    drawing_name(None, path)  # a call names one drawing, and may draw a second beside it
    with writing("--svg", path):
        saying = _SAYING.get()
        path.write_text((svg if saying is None else saying.svg(svg)) + "\n", encoding="utf-8")
    _written(path)


def table(rows: str, path: Path) -> None:
    """Write a table for a spreadsheet into `path`, whole or not at all, and say so.

    Raises
    ------
    Refused
        It can't be written.
    """
    with writing("--csv", path):
        beside = path.with_name(f".{path.name}.part")
        beside.write_text(rows, encoding="utf-8", newline="")
        beside.replace(path)
    _written(path)


def papers(write: Callable[[Path], list[str]], folder: Path) -> None:
    """Print several papers into `folder`, made where it is not there, with `write`; say so.

    Raises
    ------
    Refused
        Something else stands there, or it can't be written.
    """
    with writing("--pdf", folder, "folder"):
        folder.mkdir(exist_ok=True)
        with _on_paper():
            warnings = write(folder)
    _written(folder, warnings)


def _on_paper() -> AbstractContextManager[None]:
    from flatstock.prints.pdf.typeset import said_as

    saying = _SAYING.get()
    return nullcontext() if saying is None else said_as(saying.words, saying.svg)


def _written(path: Path, warnings: Iterable[str] = ()) -> None:
    for warning in warnings:
        aside(f"{path}: {warning}")
    aside(f"Written: {path}")
