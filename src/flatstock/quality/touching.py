"""How long a hand may be on bare metal before it burns."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import exp, log
from pathlib import Path

__all__ = ["BurnCaution", "burn_caution"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BurnCaution:
    """What a steel face at a temperature does."""

    seconds: float | None  #: until it burns, as recalled; None: longer than eight hours; 0: at a touch
    words: str
    defer_to: str
    mark: str


@cache
def _thresholds() -> tuple[tuple[tuple[float, float], ...], str, str]:
    data = tomllib.loads((Path(__file__).parent / "data" / "touch.toml").read_text("utf-8"))
    points = tuple((float(p["seconds"]), float(p["temperature_C"])) for p in data["bare_metal"])
    return points, data["defer_to"], data["mark"]


def burn_caution(steel: float) -> BurnCaution:
    """The caution at a steel temperature [°C]: give the late end of its band, the hottest it may be.

    Between the recalled thresholds the logarithm of the time is taken as linear in the temperature.

    >>> burn_caution(70.0).words
    'burns at a touch: gloves, covered arms'
    """
    points, defer_to, mark = _thresholds()

    def caution(seconds: float | None, words: str) -> BurnCaution:
        return BurnCaution(seconds=seconds, words=words, defer_to=defer_to, mark=mark)

    if steel >= points[0][1]:
        return caution(0.0, "burns at a touch: gloves, covered arms")
    if steel < points[-1][1]:
        return caution(
            None,
            "cool enough to touch, as far as the core's temperature tells; feel near it first, not on it",
        )
    for (short, hot), (long, cool) in pairwise(points):
        if cool <= steel < hot:
            seconds = exp(log(short) + (log(long) - log(short)) * (hot - steel) / (hot - cool))
            return caution(seconds, f"burns a hand that stays on it for about {_span(seconds)}: gloves")
    raise AssertionError(steel)


def _span(seconds: float) -> str:
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.0f} h"
