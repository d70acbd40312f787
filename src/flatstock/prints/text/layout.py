"""Lines of a terminal: wrapping, tables and headings within eighty columns, said as the shop says numbers and times."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from contextvars import ContextVar
from unicodedata import combining, east_asian_width

from flatstock.prints.saying import PLAIN, Saying

__all__ = [
    "COLUMNS", "TIE", "clean", "heading", "padded", "said_by", "table", "title", "width_of", "wrapped",
]  # fmt: skip

COLUMNS = 80
TIE = "\u2040"  #: a blank at which no line ends: `wrapped` writes it as one
_AM_PM = re.compile(r"(?<=\d) (?=[ap]m\b)")
_SAYING: ContextVar[Saying] = ContextVar("how the shop says numbers and times", default=PLAIN)


def said_by(saying: Saying | None) -> None:
    """From now on lines say numbers and times so, and are as wide as that makes them; None: as they are written."""
    _SAYING.set(PLAIN if saying is None else saying)


def clean(text: str) -> str:
    """Text as the shop says it, without what could steer a terminal: each control character becomes a question mark.

    Am and pm stay on the line of their time.
    """
    said = _SAYING.get().words(text)
    return "".join(letter if letter.isprintable() else "?" for letter in _AM_PM.sub(TIE, said))


def width_of(text: str) -> int:
    """Columns that text takes; wide letters (Unicode East Asian width W and F) take two.

    >>> width_of("HDPE"), width_of("板")
    (4, 2)
    """
    return sum(0 if combining(letter) else 2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def padded(text: str, width: int, align: str = "<") -> str:
    """Text filled up with blanks to a width in columns; `align` is "<" or ">"."""
    blanks = " " * max(0, width - width_of(text))
    return blanks + text if align == ">" else text + blanks


def wrapped(text: str, *, first: str = "", rest: str | None = None, width: int = COLUMNS) -> list[str]:
    """Text in lines of at most `width` columns, the first after `first`, the others after `rest`.

    >>> wrapped(f"1{TIE}ft x 2{TIE}ft", width=9)
    ['1 ft x', '2 ft']
    """
    rest = " " * width_of(first) if rest is None else rest
    lines, line = [], first
    for word in clean(text).split():
        for piece in _pieces(word, width - max(width_of(first), width_of(rest))):
            blank = "" if line in (first, rest) else " "
            if width_of(line) + len(blank) + width_of(piece) > width:
                lines.append(line)
                line, blank = rest, ""
            line += blank + piece
    return [one.replace(TIE, " ") for one in (*lines, line.rstrip())]


def _pieces(word: str, most: int) -> Iterable[str]:
    """A word cut where it would not fit on a line of its own."""
    piece = ""
    for letter in word:
        if width_of(piece + letter) > most:
            yield piece
            piece = ""
        piece += letter
    yield piece


def title(left: str, right: str = "") -> list[str]:
    """The first line of an answer with a heavy rule under it; what stands right moves down when long."""
    left, right = clean(left), clean(right)
    room = COLUMNS - width_of(left) - 2
    lines = [left + padded(right, COLUMNS - width_of(left), ">")] if width_of(right) <= room else [
        *wrapped(left), *wrapped(right)
    ]  # fmt: skip
    return [line.rstrip().replace(TIE, " ") for line in lines] + ["═" * COLUMNS]


def heading(words: str) -> list[str]:
    """A blank line and a heading."""
    return ["", f"{clean(words).replace(TIE, ' ')} ".ljust(COLUMNS, "─")]


def table(rows: Sequence[Sequence[str]], align: str, *, indent: int = 2, gap: int = 2) -> list[str]:
    """Columns under each other, `align` one letter "<" or ">" a column; the widest wrap until all fits."""
    widths = [max(width_of(clean(row[i])) for row in rows) for i in range(len(align))]
    while sum(widths) + gap * (len(widths) - 1) + indent > COLUMNS:
        widths[widths.index(max(widths))] -= 1
    lines = []
    for row in rows:
        cells = [
            wrapped(cell, width=width) if width else [""] for cell, width in zip(row, widths, strict=True)
        ]
        for i in range(max(map(len, cells))):
            parts = [
                padded(cell[i] if i < len(cell) else "", width, way)
                for cell, width, way in zip(cells, widths, align, strict=True)
            ]
            lines.append((" " * indent + (" " * gap).join(parts)).rstrip())
    return lines
