"""A number of a file that nobody has answered yet: shown as a number, kept as assumed until it is confirmed or
another is written."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

__all__ = ["as_it_was", "bare", "in_words"]

_GUESS = re.compile(r'\{ value = ([^{},\[\]"]+), kind = "assumed" \}')


def bare(text: str) -> str:
    """The number alone.

    >>> bare('{ value = 15, kind = "assumed" }'), bare("[0, 0]")
    ('15', '[0, 0]')
    """
    found = _GUESS.fullmatch(text)
    return text if found is None else found[1].strip()


def in_words(text: str) -> str:
    """As a list says it.

    >>> in_words('{ value = 15, kind = "assumed" }')
    '15 (assumed)'
    """
    found = _GUESS.fullmatch(text)
    return text if found is None else f"{found[1].strip()} (assumed)"


def as_it_was(
    said: Mapping[str, str], before: Mapping[str, str], confirmed: Collection[str] = ()
) -> dict[str, str]:
    """What a form says, with assumed numbers that nobody has changed or confirmed as the file has them.

    >>> as_it_was({"soak_min": "15"}, {"soak_min": '{ value = 15, kind = "assumed" }'})
    {'soak_min': '{ value = 15, kind = "assumed" }'}
    >>> as_it_was({"soak_min": "20"}, {"soak_min": '{ value = 15, kind = "assumed" }'})
    {'soak_min': '20'}
    >>> as_it_was({"soak_min": "15"}, {"soak_min": '{ value = 15, kind = "assumed" }'}, ["soak_min"])
    {'soak_min': '15'}
    """
    return {
        name: before[name]
        if name in before and name not in confirmed and text.strip() == bare(before[name])
        else text
        for name, text in said.items()
    }
