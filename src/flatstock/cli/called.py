"""How a person calls us on this machine, for the lines that they are meant to type next."""

from __future__ import annotations

import os
import shlex

__all__ = ["called", "quoted"]


def called() -> str:
    """`flatstock`, or the start script of a checkout as it was called: that one is on nobody's path.

    >>> called().endswith("flatstock")
    True
    """
    return quoted(os.environ.get("FLATSTOCK_CALLED") or "flatstock")


def quoted(word: object, system: str = os.name) -> str:
    """A word of a call as this machine's shell takes it.

    >>> quoted("my shop", "posix"), quoted(r"C:\\my shop", "nt"), quoted(r"C:\\shop", "nt")
    ("'my shop'", '"C:\\\\my shop"', 'C:\\\\shop')
    """
    text = str(word)
    if system != "nt":
        return shlex.quote(text)
    return f'"{text}"' if not text or any(letter in " \t&|<>^()%!;,=" for letter in text) else text
