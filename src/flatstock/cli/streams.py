"""Which letters the answers are written in: UTF-8, or what a terminal of another alphabet can show."""

from __future__ import annotations

import codecs
import os
import unicodedata
from io import TextIOWrapper
from typing import TextIO

__all__ = ["PLAIN", "plain_letters", "prepare"]

PLAIN = "flatstock.plain"  #: how letters that a terminal lacks are written; a name for `codecs`

#: what stands for a letter of our own drawings and words where there is no likeness in Unicode's tables
_INSTEAD = {
    "°": "deg",
    "±": "+-",
    "×": "x",
    "÷": "/",
    "·": ".",
    "•": "*",
    "−": "-",
    "–": "-",
    "—": "-",
    "⁄": "/",
    "≤": "<=",
    "≥": ">=",
    "√": "sqrt",
    "µ": "u",
    "μ": "u",
    "′": "'",
    "“": '"',
    "”": '"',
    "„": '"',
    "‘": "'",
    "’": "'",
    "─": "-",
    "═": "=",
    "│": "|",
    "└": "+",
    "├": "+",
    "█": "#",
    "▓": "#",
    "■": "#",
    "░": ":",
    "□": "o",
    "▲": "^",
    "▸": ">",
    "◂": "<",
}


def prepare(stream: TextIO | None) -> None:
    """Make a stream of this process take every answer.

    Into a file or a pipe goes UTF-8, whatever the machine would take by itself (Windows: cp1252). A terminal keeps
    its encoding, and so does a stream whose encoding was asked for by `PYTHONIOENCODING`; letters that it lacks are
    written with plain ones.
    """
    if not isinstance(stream, TextIOWrapper):
        return
    utf_8 = codecs.lookup(stream.encoding).name == "utf-8"
    if utf_8 or not (stream.isatty() or os.environ.get("PYTHONIOENCODING")):
        stream.reconfigure(encoding="utf-8", errors="replace")
        return
    codecs.register_error(PLAIN, _in_plain_letters)
    stream.reconfigure(errors=PLAIN)


def plain_letters(text: str) -> str:
    """Text in ASCII, for eyes.

    >>> plain_letters("195 °C ± 2 K, ½ m², Süd")
    '195 degC +- 2 K, 1/2 m2, Sud'
    """
    return "".join(map(_plain_letter, text))


def _plain_letter(letter: str) -> str:
    if letter.isascii():
        return letter
    if letter in _INSTEAD:
        return _INSTEAD[letter]
    if unicodedata.combining(letter):
        return ""
    alike = unicodedata.normalize("NFKD", letter)
    return "?" if alike == letter else plain_letters(alike)


def _in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain_letters(error.object[error.start : error.end]), error.end
