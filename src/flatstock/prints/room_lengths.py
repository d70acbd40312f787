"""Lengths of a room as a shop reads them: metres, or feet and inches."""

from __future__ import annotations

import re

__all__ = ["in_units", "length_words"]

_QUOTED = re.compile(r"((?<!\w)'[^']*'(?!\w)|`[^`]*`)")
_METRES = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) m(?![\w/²³])( walked)?( a day)?")


def in_units(words: str, system: str) -> str:
    """A sentence with its metres as the shop reads them; days' walks in whole feet.

    >>> in_units("SAW stands 0.30 m outside; 41.2 m walked a day at 2.5 kN/m²", "us")
    'SAW stands 11 3/4 in outside; 135 ft walked a day at 2.5 kN/m²'
    """
    if system != "us":
        return words

    def feet(found: re.Match[str]) -> str:
        mm, after = float(found[1]) * 1000, (found[2] or "") + (found[3] or "")
        return (f"{mm / 304.8:.0f} ft" if after else length_words(mm, system)) + after

    parts = _QUOTED.split(words)  # what somebody has written stays as it is
    return "".join(part if n % 2 else _METRES.sub(feet, part) for n, part in enumerate(parts))


def length_words(length_mm: float, system: str) -> str:
    """A length as the shop reads it: metres, or feet and inches to the nearest quarter.

    >>> length_words(9200, "metric"), length_words(9200, "us"), length_words(914.4, "us")
    ('9.20 m', '30 ft 2 1/4 in', '3 ft')
    """
    if system != "us":
        metres = f"{length_mm / 1000:.3f}"
        return f"{metres.removesuffix('0')} m"
    quarters = round(length_mm / 25.4 * 4)
    feet, rest = divmod(quarters, 48)
    inches, part = divmod(rest, 4)
    fraction = {0: "", 1: "1/4", 2: "1/2", 3: "3/4"}[part]
    inch_words = " ".join(filter(None, (str(inches) if inches else "", fraction)))
    parts = ([f"{feet} ft"] if feet else []) + ([f"{inch_words} in"] if inch_words else [])
    return " ".join(parts) or "0 in"
