"""What every answer in a terminal says in the same way: warnings, cautions, what it rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from flatstock.plastics.safety import topic_of
from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.text.layout import heading, wrapped
from flatstock.prints.words import clock, day, rests_on

__all__ = ["PRESSING", "STACKING", "belonging", "closing"]

Document = Mapping[str, Any]
AT_ONCE = 4  # cautions that are read; a dozen are not
PRESSING = ("hot", "opening", "fume", "lifting")  #: topics that every pressing meets
STACKING = ("hot", "opening", "stack", "lifting")  #: topics that every stack meets


def closing(document: Document, shown: Shown = METRIC, *, cautions: Sequence[str] | None = None) -> list[str]:
    """Warnings, cautions each with who decides, and the kinds of evidence.

    `cautions`: topics of which one caution each is shown, the rest counted; None: all of them. The document
    and the paper always carry all.
    """
    lines: list[str] = []
    if document.get("warnings"):
        lines += heading("Take note")
        for words in document["warnings"]:
            lines += wrapped(shown.prose(str(words)), first="  ! ")
    listed = list(document.get("cautions") or ())
    if listed:
        lines += heading("Cautions, and who decides")
        first = listed if cautions is None else belonging(listed, cautions)
        for one in first:
            words = shown.prose(f"{one['text']} Defer to: {str(one['defer_to']).rstrip('.')}.")
            lines += wrapped(words, first="  • ")
        if len(first) < len(listed):
            more = (
                f"{len(listed) - len(first)} more: --cautions shows all; the PDF and the document have all."
            )
            lines += wrapped(more, first="    ")
    lines.append("")
    if kinds := rests_on(document):
        lines += wrapped(f"Rests on: {kinds}.")
    if document.get("made_at"):
        made = datetime.fromisoformat(str(document["made_at"]))
        lines += [f"Made {day(made)}, {clock(made)}."]
    return lines


def belonging(listed: Sequence[Document], topics: Sequence[str]) -> list[Document]:
    """The first caution on each topic, filled up with the others in their order."""
    if len(listed) <= AT_ONCE:
        return list(listed)
    found = {topic_of(str(one["text"])): one for one in reversed(listed)}
    chosen = [found[topic] for topic in topics if topic in found]
    chosen += [one for one in listed if one not in chosen][: max(0, AT_ONCE - len(chosen))]
    return [one for one in listed if one in chosen]
