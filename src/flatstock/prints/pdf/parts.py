"""Parts that a paper of several sheets is put together from; pages/report.typ sets them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

__all__ = ["Part", "big", "figure", "lines", "numbered", "picture", "rows", "sheet"]

Part = dict[str, Any]


def figure(name: str, digits: str, *, unit: str = "", below: str = "", wide: bool = False) -> Part:
    """One large figure; `wide`: words in its place."""
    return {"name": name, "digits": digits, "unit": unit, "below": below, "wide": wide}


def big(*items: Part) -> Part:
    """Large figures beside each other."""
    return {"kind": "big", "items": list(items)}


def rows(
    title: str, head: Sequence[str], align: str, cells: Iterable[Sequence[str]], *, bold: Iterable[int] = ()
) -> Part:
    """A table; `align` one letter a column: l, r, c, or w for the wide one; `bold` rows by number."""
    heavy = set(bold)
    made = [{"cells": list(one), "bold": n in heavy} for n, one in enumerate(cells)]
    return {"kind": "table", "title": title, "head": list(head), "align": list(align), "rows": made}


def lines(title: str, words: Iterable[str]) -> Part:
    """Sentences under each other."""
    return {"kind": "lines", "title": title, "lines": list(words)}


def numbered(title: str, words: Iterable[str], *, room: bool = False) -> Part:
    """Numbered sentences, with a line to write an answer on where there is `room`."""
    return {"kind": "numbered", "title": title, "lines": list(words), "room": room}


def picture(title: str, svg: str, alt: str) -> Part:
    """A drawing and what it shows in words."""
    return {"kind": "picture", "title": title, "picture": {"svgs": [svg], "alt": alt}}


def sheet(
    name: str,
    where: Iterable[str],
    parts: Iterable[Part],
    *,
    foot: str,
    warnings: Iterable[str] = (),
    cautions: Iterable[Mapping[str, str]] = (),
) -> Part:
    """One sheet of paper."""
    return {
        "name": name,
        "where": [words for words in where if words],
        "parts": list(parts),
        "warnings": list(warnings),
        "cautions": [dict(one) for one in cautions],
        "foot": foot,
    }
