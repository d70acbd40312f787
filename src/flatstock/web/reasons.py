"""Why a number is what it is, ready for a page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flatstock.plastics.sources import label
from flatstock.prints.shown import Shown
from flatstock.prints.text.why import input_words, now_words
from flatstock.prints.words import KIND_WORDS
from flatstock.web.titles import TITLES

__all__ = ["Given", "Reason", "reasons_of"]

Document = Mapping[str, Any]
_OPTION = re.compile(r"--([a-z]+(?:-[a-z]+)*)")


@dataclass(frozen=True, slots=True)
class Given:
    """One input."""

    name: str
    value: str
    evidence: str
    where: str
    share: str  #: of the band, empty where it is small or not known


@dataclass(frozen=True, slots=True)
class Reason:
    """One number: its formula, its inputs with the one that the band comes from first, its source."""

    of: str  #: the field of the document
    title: str
    now: str
    formula: str
    source: str
    note: str
    inputs: tuple[Given, ...]


def reasons_of(document: Document, shown: Shown) -> list[Reason]:
    """Every reason that the document gives."""
    return [_reason(document, one, shown) for one in document.get("why", ())]


def _reason(document: Document, reason: Document, shown: Shown) -> Reason:
    of = str(reason["of"])
    inputs = sorted(reason["inputs"], key=lambda one: -(one.get("band_share") or 0.0))
    return Reason(
        of=of,
        title=str(reason.get("title") or TITLES.get(of, of)),
        now=now_words(document, of, shown),
        formula=shown.prose(str(reason["formula"])),
        source=shown.prose(str(reason["source"])),
        note=shown.prose(str(reason.get("note") or "")),
        inputs=tuple(_given(one, shown) for one in inputs),
    )


def _where(source: str) -> str:
    """Where a number comes from, as a page says it: no id of a source, no option of a command.

    >>> _where("--edge-trim, or shop.toml"), _where("heat_model_choice")
    ('edge trim as asked, or shop.toml', 'chosen for the heat model of this project, no source')
    """
    return _OPTION.sub(lambda found: f"{found[1].replace('-', ' ')} as asked", label(source))


def _given(one: Document, shown: Shown) -> Given:
    share = one.get("band_share") or 0.0
    kind = str(one.get("kind") or "")
    note = f"; {one['note']}" if one.get("note") else ""
    return Given(
        name=shown.prose(str(one["name"])),
        value=input_words(one, shown),
        evidence=KIND_WORDS.get(kind, kind),
        where=shown.prose(f"{_where(str(one.get('source') or ''))}{note}"),
        share=f"{share:.0%}" if share >= 0.005 else "",
    )
