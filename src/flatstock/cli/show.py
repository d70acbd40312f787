"""Where answers go: text or JSON to standard output, paper to a file, everything else to standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from pathlib import Path
from typing import Any

from flatstock.errors import Fault, Refused

__all__ = ["aside", "document", "in_units_of", "paper", "papers", "picture", "refusal", "table", "text"]

#: the workshop that this call is about, as soon as that is known: refusals are said in its units
_WORKSHOP: ContextVar[Path | None] = ContextVar("workshop", default=None)

Document = Mapping[str, Any]


def text(words: str) -> None:
    """Print an answer for people."""
    sys.stdout.write(words if words.endswith("\n") else words + "\n")


def document(answer: Document) -> None:
    """Print an answer for programs: UTF-8, or in a terminal of another alphabet the escapes of JSON."""
    escaped = (sys.stdout.encoding or "utf-8").lower().replace("_", "-") not in ("utf-8", "utf8")
    sys.stdout.write(json.dumps(answer, ensure_ascii=escaped, indent=2, allow_nan=False) + "\n")


def aside(words: str) -> None:
    """Say something beside the answer."""
    sys.stderr.write(words + "\n")


def in_units_of(folder: Path | None) -> None:
    """From now on refusals are said in the units of the workshop in `folder`; None: as they are, metric."""
    _WORKSHOP.set(folder)


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
        The name is not one of a PDF, something else stands there, or it can't be written.
    """
    if path.suffix.lower() != ".pdf":
        raise Refused(
            Fault("--pdf", f"{path} is no name for a PDF", f"write {path.with_suffix('.pdf').name}")
        )
    if not path.parent.is_dir():
        raise Refused(Fault("--pdf", f"there is no folder {path.parent}", "make it first, or name another"))
    try:
        other = path.is_file() and path.stat().st_size > 0 and path.read_bytes()[:5] != b"%PDF-"
    except OSError:
        other = True
    if other:
        raise Refused(Fault("--pdf", f"{path} is there already and is no PDF", "name another file"))
    with _writing("--pdf", path, "file"):
        warnings = write(path)
    _written(path, warnings)


def picture(svg: str, path: Path) -> None:
    """Write a drawing into `path` and say so.

    Raises
    ------
    Refused
        The name is not one of a drawing, something else stands there, or it can't be written.
    """
    if path.suffix.lower() != ".svg":
        instead = f"write {path.with_suffix('.svg').name}"
        raise Refused(Fault("--svg", f"{path} is no name for a drawing", instead))
    with _writing("--svg", path, "file"):
        other = path.is_dir() or (path.is_file() and b"<svg" not in path.read_bytes()[:1000] != b"")
        if other:
            raise Refused(Fault("--svg", f"{path} is there already and is no drawing", "name another file"))
        path.write_text(svg + "\n", encoding="utf-8")
    _written(path)


def table(rows: str, path: Path) -> None:
    """Write a table for a spreadsheet into `path`, whole or not at all, and say so.

    Raises
    ------
    Refused
        The name is not one of a CSV file, something else stands there, or it can't be written.
    """
    if path.suffix.lower() != ".csv":
        raise Refused(
            Fault("--csv", f"{path} is no name for a table", f"write {path.with_suffix('.csv').name}")
        )
    head = rows.splitlines()[0]
    with _writing("--csv", path, "file"):
        if path.exists() and not path.read_text("utf-8", errors="replace").startswith(head):
            raise Refused(
                Fault("--csv", f"{path} is there already and is another table", "name another file")
            )
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
    with _writing("--pdf", folder, "folder"):
        folder.mkdir(exist_ok=True)
        warnings = write(folder)
    _written(folder, warnings)


@contextmanager
def _writing(option: str, path: Path, what: str) -> Iterator[None]:
    """Say what can't be written, and to name another `what`."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or error
        raise Refused(Fault(option, f"{path} can't be written ({reason})", f"name another {what}")) from None


def _written(path: Path, warnings: Iterable[str] = ()) -> None:
    for warning in warnings:
        aside(f"{path}: {warning}")
    aside(f"Written: {path}")
