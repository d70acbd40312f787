"""Which papers a plan becomes, and where they are written."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from flatstock.prints.clock_face import ClockFace, on_the_face
from flatstock.prints.pdf.plan.board import board
from flatstock.prints.pdf.plan.chart import chart
from flatstock.prints.pdf.plan.day import day_papers
from flatstock.prints.pdf.plan.emergency import emergency_card
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import made_at
from flatstock.prints.plan_view import View
from flatstock.units import System

__all__ = ["emergency_pdf", "paper_names", "papers", "plan_pdf", "plan_pdfs"]

Document = Mapping[str, Any]
#: the large sheet beside each paper that a shop has
LARGE = {"a4": "a3", "a3": "a3", "letter": "tabloid", "tabloid": "tabloid"}
SMALL = {"a3": "a4", "a4": "a4", "tabloid": "letter", "letter": "letter"}


def plan_pdfs(
    document: Document,
    folder: Path,
    paper: str = "a4",
    system: System = "metric",
    clock_face: ClockFace = "24h",
) -> list[str]:
    """Write every paper of a `flatstock.plan/1` into `folder`; returns what a person should know about them.

    Week board on the large and the small sheet, time chart with a page a day, one file a day (weigh list, a sheet
    for each person and each place, hand-over with the closing check), emergency card. `paper`: a4, a3, letter
    or tabloid; `system`: the units that the shop reads; `clock_face`: how it says the time of day.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        A file cannot be written; whatever stood there is left as it was.
    """
    if paper not in LARGE:
        raise ValueError(f"paper {paper!r} is none of {', '.join(LARGE)}")
    said: list[str] = []
    for name, page, content, size in papers(document, paper, system, clock_face):
        warnings = typeset_to(folder / f"{name}.pdf", page, content, paper=size, made_at=made_at(document))
        said += [f"{name}.pdf: {words}" for words in warnings]
    return said


def paper_names(document: Document, paper: str = "a4") -> tuple[str, ...]:
    """What `plan_pdfs` would write, without the ending: week-board-a3, day-2026-03-02 …"""
    return tuple(name for name, *_ in _each(View(document), paper))


def plan_pdf(
    document: Document,
    name: str,
    path: Path,
    paper: str = "a4",
    system: System = "metric",
    clock_face: ClockFace = "24h",
) -> list[str]:
    """Write one of `paper_names` to `path`; as `plan_pdfs`, and `KeyError` for a name that is none of them."""
    named = {
        one: (page, words, size)
        for one, page, words, size in _each(View(document, system, clock_face), paper)
    }
    page, words, size = named[name]
    return typeset_to(path, page, on_the_face(words(), clock_face), paper=size, made_at=made_at(document))


def emergency_pdf(shop: str, path: Path, paper: str = "a4") -> list[str]:
    """Write the emergency card of a shop that may have no plan; undated."""
    return typeset_to(path, "emergency", emergency_card(shop), paper=SMALL[paper], made_at=None)


def papers(
    document: Document, paper: str, system: System = "metric", clock_face: ClockFace = "24h"
) -> Iterator[tuple[str, str, dict[str, Any], str]]:
    """Name, layout, words and paper of each."""
    for name, page, words, size in _each(View(document, system, clock_face), paper):
        yield name, page, on_the_face(words(), clock_face), size


def _each(view: View, paper: str) -> Iterator[tuple[str, str, Callable[[], dict[str, Any]], str]]:
    small, large = SMALL[paper], LARGE[paper]
    for size in (large, small):
        yield f"week-board-{size}", "board", partial(board, view), size
    if view.dates:
        yield f"time-chart-{large}", "chart", partial(chart, view), large
    for date in view.dates:
        yield f"day-{date.isoformat()}", "report", partial(day_papers, view, date), small
    yield "emergency-card", "emergency", partial(emergency_card, view.shop), small
