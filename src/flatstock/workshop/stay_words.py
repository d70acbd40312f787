"""When somebody is in the shop, as a form shows it and takes it: a line of words, not the tables of the file."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping

from flatstock.workshop.fields import Field

__all__ = ["STAY_EXAMPLE", "are_stays", "stays_of", "stays_said"]

STAY_EXAMPLE = "mon-fri 08:00 to 16:00, break 12:00 to 12:30; sat 09:00 to 12:00"
_KEYS = ("days", "start", "end", "lunch_start", "lunch_end")
_SPAN = r"(\d{1,2}:\d\d)\s*(?:to|-|–)\s*(\d{1,2}:\d\d)"
_STAY = re.compile(
    rf"([a-z*]+(?:[-, ]+[a-z*]+)*)\s+{_SPAN}(?:\s*,?\s*(?:with a )?(?:break|lunch)\s+{_SPAN})?", re.IGNORECASE
)


def are_stays(field: Field | None) -> bool:
    """Whether a field holds stays."""
    return field is not None and field.table is not None and set(field.table.by_name) == set(_KEYS)


def stays_said(literal: str) -> str | None:
    """The stays of a TOML value in words; None where it holds more than words can say.

    >>> stays_said('[{ days = "mon-fri", start = "07:15", end = "15:45", lunch_start = "12:00", lunch_end = "12:30" }]')
    'mon-fri 07:15 to 15:45, break 12:00 to 12:30'
    """
    try:
        stays = tomllib.loads(f"stays = {literal}")["stays"]
    except tomllib.TOMLDecodeError:
        return None
    if not isinstance(stays, list) or not all(isinstance(one, Mapping) and _plain(one) for one in stays):
        return None
    return "; ".join(_said(one) for one in stays)


def stays_of(text: str) -> str | None:
    """The same way back; None where it is not said so.

    >>> stays_of("mon-fri 8:00 to 16:00; sat 9:00-12:00")
    '[{ days = "mon-fri", start = "08:00", end = "16:00" }, { days = "sat", start = "09:00", end = "12:00" }]'
    >>> stays_of("mornings") is None
    True
    """
    found = []
    for part in text.split(";"):
        match = _STAY.fullmatch(part.strip())
        if match is None:
            return None
        days, *times = match.groups()
        values = [
            " ".join(days.replace(",", " ").lower().split()),
            *(time and time.zfill(5) for time in times),
        ]
        found.append(
            "{ "
            + ", ".join(f'{key} = "{value}"' for key, value in zip(_KEYS, values, strict=True) if value)
            + " }"
        )
    return f"[{', '.join(found)}]"


def _plain(stay: Mapping[str, object]) -> bool:
    pauses = [key in stay for key in _KEYS[3:]]
    whole = all(isinstance(stay.get(key), str) for key in _KEYS[:3]) and len(set(pauses)) == 1
    return whole and set(stay) <= set(_KEYS)


def _said(stay: Mapping[str, object]) -> str:
    pause = f", break {stay['lunch_start']} to {stay['lunch_end']}" if "lunch_start" in stay else ""
    return f"{stay['days']} {stay['start']} to {stay['end']}{pause}"
