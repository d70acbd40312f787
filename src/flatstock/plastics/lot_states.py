"""What the states of a lot are called where people read them, after "is": the one place that has the words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["state_words"]

_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "received": "taken in and not released yet",
        "quarantine": "held in quarantine",
        "released": "released",
        "blocked": "blocked",
        "empty": "used up",
    }
)


def state_words(status: str) -> str:
    """A lot's state in words.

    >>> f"lot L-2301 is {state_words('quarantine')}"
    'lot L-2301 is held in quarantine'
    """
    return _WORDS.get(status.lower(), f"said to be {status!r}")
