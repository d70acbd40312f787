"""A line of a new workshop's file with its meaning beside it."""

from __future__ import annotations

import json

__all__ = ["figures", "line", "quoted"]

_COLUMN = 44  # where the comments begin


def line(text: str, comment: str) -> str:
    """`text` with `comment` beside it."""
    return f"{text:<{_COLUMN - 1}} # {comment}"


def figures(number: float) -> str:
    """A number as it is written into a file."""
    return f"{number:.6g}"


def quoted(text: str) -> str:
    """Text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")
