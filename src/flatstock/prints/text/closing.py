"""What every answer in a terminal says in the same way: warnings, cautions, what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.prints.text.layout import heading, wrapped
from flatstock.prints.words import clock, day, rests_on

__all__ = ["closing"]

Document = Mapping[str, Any]


def closing(document: Document) -> list[str]:
    """Warnings, cautions each with who decides, and the kinds of evidence."""
    lines: list[str] = []
    if document.get("warnings"):
        lines += heading("Take note")
        for words in document["warnings"]:
            lines += wrapped(str(words), first="  ! ")
    if document.get("cautions"):
        lines += heading("Cautions, and who decides")
        for one in document["cautions"]:
            lines += wrapped(f"{one['text']} Defer to: {str(one['defer_to']).rstrip('.')}.", first="  • ")
    lines += ["", *wrapped(f"Rests on: {rests_on(document)}.")]
    if document.get("made_at"):
        made = datetime.fromisoformat(str(document["made_at"]))
        lines += [f"Made {day(made)}, {clock(made)}."]
    return lines
