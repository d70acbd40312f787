"""Where answers go: text or JSON to standard output, paper to a file, everything else to standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from flatstock.errors import Fault, Refused

__all__ = ["aside", "document", "paper", "refusal", "text"]

Document = Mapping[str, Any]


def text(words: str) -> None:
    """Print an answer for people."""
    sys.stdout.write(words if words.endswith("\n") else words + "\n")


def document(answer: Document) -> None:
    """Print an answer for programs."""
    sys.stdout.write(json.dumps(answer, ensure_ascii=False, indent=2, allow_nan=False) + "\n")


def aside(words: str) -> None:
    """Say something beside the answer."""
    sys.stderr.write(words + "\n")


def refusal(faults: Iterable[Fault], *, as_json: bool, warnings: Iterable[str] = ()) -> None:
    """One sentence a fault, or a `flatstock.refusal/1`."""
    if as_json:
        listed = [{"what": f.what, "where": f.where, "instead": f.instead} for f in faults]
        document(
            {"format": "flatstock.refusal/1", "faults": listed, "cautions": [], "warnings": list(warnings)}
        )
        return
    for fault in faults:
        aside(fault.sentence())


def paper(write: Callable[[Path], list[str]], path: Path) -> None:
    """Print on paper into `path` with `write`, which returns warnings about the print, and say so."""
    try:
        warnings = write(path)
    except OSError as error:
        raise Refused(
            Fault("--pdf", f"{path} can't be written ({error.strerror or error})", "name another file")
        ) from None
    for warning in warnings:
        aside(f"{path}: {warning}")
    aside(f"Written: {path}")
