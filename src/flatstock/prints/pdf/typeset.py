"""From the words of a page to a PDF: fonts, accessibility standard, fixed date, whole or not at all."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from flatstock.prints.clock_face import said_otherwise
from flatstock.prints.pdf.glyphs import missing

__all__ = ["PAPERS", "said_as", "typeset", "typeset_to"]

_HERE = Path(__file__).parent
_FONTS, _PAGES = _HERE / "fonts", _HERE / "pages"
_FONT = _FONTS / "Inter-Regular.otf"
#: names of papers as asked for, and as the typesetter calls them
PAPERS = {"a3": "a3", "a4": "a4", "letter": "us-letter", "tabloid": "us-tabloid"}
_NO_SUSPECTS = b"/Suspects false"
_UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
Say = Callable[[str], str]
_habit: ContextVar[tuple[Say, Say] | None] = ContextVar("habit of words and drawings on paper", default=None)


@contextmanager
def said_as(words: Say, drawing: Say) -> Iterator[None]:
    """What is typeset inside says its numbers and times as `words` does, its drawings as `drawing` (SVG text) does.

    Pages are written with points and 24 hours; a shop may read commas, am and pm.
    """
    before = _habit.set((words, drawing))
    try:
        yield
    finally:
        _habit.reset(before)


def typeset_to(
    path: Path, page: str, content: Mapping[str, Any], *, paper: str, made_at: datetime | None
) -> list[str]:
    """Write one page of paper to `path`, whole or not at all; returns what a person should know about it.

    `page` names a layout of this package, `content` its words (plain JSON; pictures as SVG text).

    Raises
    ------
    ValueError
        `paper` is not one of `PAPERS`.
    """
    pdf, warnings = typeset(page, content, paper=paper, made_at=made_at)
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem}-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(pdf)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return warnings


def typeset(
    page: str, content: Mapping[str, Any], *, paper: str, made_at: datetime | None
) -> tuple[bytes, list[str]]:
    """The PDF and what a person should know about it; see `typeset_to`.

    The page is tagged and claims PDF/UA-1. That standard forbids text that the fonts cannot show, and a
    customer's name must never stop a card: such a page is made without the claim, with this computer's
    own fonts for the letters that ours lack, and says so.
    """
    from typst import Compiler, TypstError

    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r} is none of {', '.join(PAPERS)}")
    if (habit := _habit.get()) is not None:
        content = said_otherwise(content, *habit)
    inputs = {"content": json.dumps(content, ensure_ascii=False), "paper": PAPERS[paper]}
    strange = missing("".join(_texts(content)), _FONT)
    warnings = [_strange_letters(strange)] if strange else []

    def make(standard: list[Any], own_fonts_only: bool) -> tuple[bytes, list[str]]:
        compiler = Compiler(
            _PAGES / f"{page}.typ", root=_PAGES, font_paths=_fonts(own_fonts_only), sys_inputs=inputs
        )
        pdf = compiler.compile(format="pdf", pdf_standards=standard, timestamp=made_at or _UNDATED)
        assert isinstance(pdf, bytes)
        pdf = _plain_marks(pdf)
        pages = json.loads(compiler.query("<pages>", field="value", one=True))
        meant = len(content.get("sheets", (None,)))
        held = "one page holds" if meant == 1 else f"{meant} pages hold"
        return pdf, [
            f"This print takes {pages} pages: there is more to say than {held}."
        ] if pages > meant else []

    if not strange:
        try:
            pdf, long = make(["ua-1"], True)
            return pdf, long
        except TypstError as error:
            warnings = [f"Printed without the PDF/UA mark for readers by ear: {error.message}."]
    pdf, long = make([], False)
    return pdf, warnings + long


def _plain_marks(pdf: bytes) -> bytes:
    """The same file without "Suspects false" in its mark information.

    ISO 32000-1, table 321: left out it means false. Some readers warn of it where it is written. Blanks take
    its place, so that no offset moves.
    """
    return pdf.replace(_NO_SUSPECTS, b" " * len(_NO_SUSPECTS), 1)


@cache
def _fonts(own_only: bool) -> Any:
    from typst import Fonts

    return Fonts(include_system_fonts=not own_only, include_embedded_fonts=False, font_paths=[str(_FONTS)])


def _strange_letters(letters: str) -> str:
    codes = ", ".join(f"U+{ord(letter):04X}" for letter in letters[:5])
    more = ", …" if len(letters) > 5 else ""
    return (
        f"Our font lacks {len(letters)} of the letters ({codes}{more}): printed with what this computer has"
        " for them, and without the PDF/UA mark for readers by ear."
    )


def _texts(content: object) -> Iterable[str]:
    """Every piece of text in nested JSON."""
    if isinstance(content, str):
        yield content
    elif isinstance(content, Mapping):
        for part in content.values():
            yield from _texts(part)
    elif isinstance(content, (list, tuple)):
        for part in content:
            yield from _texts(part)
