"""What all pages of paper say in the same way: cautions, date, what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.words import clock, day, rests_on

__all__ = ["cautions", "foot", "instant", "made_at", "short"]

Document = Mapping[str, Any]


def made_at(document: Document) -> datetime | None:
    """When the document was made; it dates the file, so that the same document gives the same bytes."""
    said = document.get("made_at") or document.get("at")
    return None if said is None else instant(str(said))


def instant(text: str) -> datetime:
    """An ISO 8601 instant of a document; one without an offset is taken as UTC."""
    from datetime import UTC

    read = datetime.fromisoformat(text)
    return read if read.tzinfo else read.replace(tzinfo=UTC)


def cautions(document: Document, shown: Shown = METRIC) -> list[dict[str, str]]:
    """The cautions of a document, each with who decides."""
    return [
        {"text": shown.prose(str(one["text"])), "defer_to": str(one["defer_to"]).rstrip(".")}
        for one in document.get("cautions", ())
    ]


def foot(document: Document, *, bands: bool = True) -> str:
    """The last line: when it was made, what it rests on by kind of evidence, and what its bands are."""
    made = made_at(document) if document.get("made_at") else None
    when = f"Made {day(made)}, {clock(made)}. " if made else ""
    ends = " The ends of a band are the 5th and 95th percentile of the model's answers." if bands else ""
    kinds = rests_on(document)
    rests = f"Rests on: {kinds}." if kinds else ""
    return f"{when}{rests}{ends}".strip()


def short(text: str, most: int) -> str:
    """A name cut where it would push other words off the page; the document keeps it whole."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
