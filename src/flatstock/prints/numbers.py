"""Reading a number of a document, however it is written, and saying it with its band.

A number may be bare, ``None`` (not known, or not within the time looked at) or
``{"value", "low", "high", "kind", "source"}``; formats and units stand in the documents' schemas.
Documents are metric; what a shop reads them in is decided by `prints.shown.Shown`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Any

__all__ = [
    "UNKNOWN",
    "Number",
    "at_most",
    "decimals_of",
    "dwell_and_latest",
    "minutes_at_most",
    "minutes_not_before",
    "not_before",
    "number",
    "plain",
    "with_band",
]

UNKNOWN = "unknown"
MOST_DECIMALS = 3  #: of a mass in kg: a bench scale shows less than a gram, nobody can keep to it


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a document; `value` is None where it is not known."""

    value: float | None
    low: float | None = None
    high: float | None = None
    kind: str | None = None
    source: str = ""

    @property
    def has_band(self) -> bool:
        """True when the band has a width."""
        return self.low is not None and self.high is not None and self.low < self.high

    @property
    def early(self) -> float | None:
        """The low end, for "no later than"; the number itself where there is no band."""
        return self.value if self.low is None else self.low

    @property
    def late(self) -> float | None:
        """The high end, for "not before"; the number itself where there is no band."""
        return self.value if self.high is None else self.high


def number(field: object) -> Number:
    """The number that stands in a field of a document.

    Raises
    ------
    TypeError
        The field is neither a number, nor null, nor a number with its band.

    >>> number({"value": 21.2, "low": 18.9, "high": 24.0, "kind": "fitted", "source": "trial"}).late
    24.0
    """
    if field is None:
        return Number(None)
    if isinstance(field, (int, float)) and not isinstance(field, bool):
        return Number(float(field))
    if isinstance(field, Mapping) and "value" in field:
        value, low, high = (_float(field.get(key)) for key in ("value", "low", "high"))
        return Number(value, low, high, field.get("kind"), str(field.get("source") or ""))
    raise TypeError(f"{field!r} is not a number of a document")


def _float(field: object) -> float | None:
    return float(field) if isinstance(field, (int, float)) else None


def plain(value: float | None, decimals: int = 1, unknown: str = UNKNOWN) -> str:
    """A number without its band, decimal point, never "-0".

    >>> plain(28.0), plain(21.24), plain(None)
    ('28', '21.2', 'unknown')
    """
    if value is None:
        return unknown
    words = f"{value:.{decimals}f}"
    if "." in words and float(words) == int(float(words)) and decimals == 1:
        words = words[:-2]
    return words[1:] if words.startswith("-") and float(words) == 0 else words


def with_band(field: object, unit: str = "", decimals: int = 1, unknown: str = UNKNOWN) -> str:
    """A number with its unit and its band; a band narrower than the last digit shown is left out.

    >>> with_band({"value": 21.2, "low": 18.9, "high": 24.0, "kind": "fitted", "source": "trial"}, "min")
    '21.2 min (18.9 to 24.0)'
    >>> with_band({"value": 18.01, "low": 18.0, "high": 18.05, "kind": "fitted", "source": "trial"}, "mm")
    '18 mm'
    >>> with_band({"value": 200.3, "low": 140.1, "high": None, "kind": "computed", "source": "trial"}, "min")
    '200.3 min (140.1 to unknown)'
    """
    read = number(field)
    if read.value is None:
        return unknown
    if read.low is not None and read.high is None:
        return (
            f"{plain(read.value, decimals)} {unit}".rstrip() + f" ({_fixed(read.low, decimals)} to {unknown})"
        )
    if not read.has_band or read.low is None or read.high is None:
        return f"{plain(read.value, decimals)} {unit}".rstrip()
    shown = [_fixed(end, decimals) for end in (read.value, read.low, read.high)]
    if shown[1] == shown[2] or read.high - read.low < 10.0**-decimals * (1 - 1e-9):
        return f"{plain(read.value, decimals)} {unit}".rstrip()
    if decimals == 1 and all(words.endswith(".0") for words in shown):
        shown = [words[:-2] for words in shown]
    value, low, high = shown
    return f"{value} {unit}".rstrip() + f" ({low} to {high})"


def _fixed(number: float, decimals: int) -> str:
    """A number with so many decimals, and no minus before a zero."""
    words = f"{number:.{decimals}f}"
    return words.lstrip("-") if float(words) == 0 else words


def decimals_of(step: float | None) -> int:
    """How many decimals a scale's step needs: 0.02 kg needs two, 0.5 kg one; never more than three, a gram.

    >>> decimals_of(0.02), decimals_of(0.5), decimals_of(1.0), decimals_of(0.0001), decimals_of(None)
    (2, 1, 0, 3, 2)
    """
    if not step or step <= 0:
        return 2
    decimals = max(0, -floor(log10(step)))
    while decimals < MOST_DECIMALS and abs(round(step, decimals) - step) > 1e-9:
        decimals += 1
    return min(decimals, MOST_DECIMALS)


TENTHS_BELOW = 10.0  #: min: advice is said to a tenth below, in whole minutes from here on


def not_before(minutes: float) -> str:
    """A time to wait at least: rounded up to a tenth below ten minutes, to whole minutes above.

    >>> not_before(38.61), not_before(7.31), not_before(38.0)
    ('39', '7.4', '38')
    """
    return _minutes(ceil, minutes)


def at_most(minutes: float) -> str:
    """A time that may pass at most: rounded down to a tenth below ten minutes, to whole minutes above.

    >>> at_most(46.9), at_most(7.39)
    ('46', '7.3')
    """
    return _minutes(floor, minutes)


def _minutes(whole: Callable[[float], int], minutes: float) -> str:
    tenths = whole(round(minutes * 10, 6)) / 10  # six decimals: 38.0 computed as 38.0000000001 stays 38
    return plain(tenths) if abs(tenths) < TENTHS_BELOW else str(whole(round(minutes, 6)))


def minutes_not_before(field: object) -> str | None:
    """Minutes to wait at least: the late end, rounded up as `not_before` does."""
    late = number(field).late
    return None if late is None else not_before(late)


def minutes_at_most(field: object) -> str | None:
    """Minutes that may pass at most: the early end, rounded down as `at_most` does."""
    early = number(field).early
    return None if early is None else at_most(early)


def dwell_and_latest(row: Mapping[str, Any]) -> tuple[str, str | None]:
    """The advised dwell and the latest one of a card or of a wall chart's row, in minutes.

    "unknown" where none is advised; None where the face bears any dwell. Whole minutes from ten on, the dwell
    rounded up and the latest down; tenths where whole minutes would put the dwell after the latest though it is
    not. A dwell that practice has found good, longer than its face is only assumed to bear, is the latest one too:
    nobody has tried a longer one, and beside a shorter latest it could not be kept.

    >>> dwell_and_latest({"dwell_advised_min": 10.9, "dwell_latest_min": {"value": 12, "low": 10.92, "high": 13}})
    ('10.9', '10.9')
    """
    advised, late = number(row["dwell_advised_min"]).value, number(row["dwell_latest_min"]).early
    said = plain(None) if advised is None else not_before(advised)
    if row.get("latest_by_practice"):
        return said, said
    latest = None if late is None else at_most(late)
    if advised is None or late is None or latest is None:
        return said, latest
    if advised <= late and float(said) > float(latest):
        return plain(advised), plain(floor(late * 10 + 1e-6) / 10)
    return said, latest
