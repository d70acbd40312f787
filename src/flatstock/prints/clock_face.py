"""The time of day in a shop's own way: 24 hours, or am and pm. Prints are made with 24 hours and said so afterwards."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Literal

__all__ = ["ClockFace", "hour_of", "on_the_face", "said_otherwise", "twelve_hours", "worded"]

ClockFace = Literal["24h", "am_pm"]
_CLOCK = re.compile(r"(?<![\d:T.-])([01]\d|2[0-3]):([0-5]\d)(?!\d|:\d|[ \u00a0][ap]m\b)")
_SVG_WORDS = re.compile(r">([^<>]+)</(text|title|desc)>")
_DRAWN = re.compile(r"\s*<[a-z]")  # a tag, not the bracket of a marking such as >PE-HD<
NO_BREAK = "\u00a0"


def twelve_hours(text: str) -> str:
    """A sentence with its times of day in am and pm; what is said so already stays.

    >>> twelve_hours("not before 09:22: core 20 degC; noted 09:22:05")
    'not before 9:22 am: core 20 degC; noted 09:22:05'
    >>> twelve_hours(twelve_hours("open at 12:05, closed at 17:30"))
    'open at 12:05 pm, closed at 5:30 pm'
    """
    return _CLOCK.sub(_twelve, text)


def _twelve(found: re.Match[str]) -> str:
    hour = int(found[1])
    return f"{hour % 12 or 12}:{found[2]} {'am' if hour < 12 else 'pm'}"


def _unbroken(text: str) -> str:
    """The same with am and pm on the line of their time."""
    return _CLOCK.sub(lambda found: _twelve(found).replace(" ", NO_BREAK), text)


def hour_of(hour: int, face: ClockFace) -> str:
    """A full hour on an axis; 24 is the midnight that ends a day.

    >>> hour_of(13, "24h"), hour_of(13, "am_pm"), hour_of(24, "am_pm")
    ('13', '1 pm', '12 am')
    """
    if face == "24h":
        return f"{hour:02d}"
    return f"{hour % 12 or 12} {'am' if hour % 24 < 12 else 'pm'}"


def worded(drawing: str, say: Callable[[str], str]) -> str:
    """A drawing with its words said in another way.

    >>> worded("<text>195 °C</text>", lambda words: words.replace("195 °C", "383 °F"))
    '<text>383 °F</text>'
    """
    return _SVG_WORDS.sub(lambda found: f">{say(found[1])}</{found[2]}>", drawing)


def on_the_face(content: Any, face: ClockFace) -> Any:
    r"""The words of a page, its drawings among them, with their times of day so, never broken at the end of a line.

    >>> on_the_face({"at": ["13:05"], "svg": "<text>07:15</text>"}, "am_pm")
    {'at': ['1:05\xa0pm'], 'svg': '<text>7:15\xa0am</text>'}
    """
    return (
        content if face == "24h" else said_otherwise(content, _unbroken, lambda svg: worded(svg, _unbroken))
    )


def said_otherwise(content: Any, words: Callable[[str], str], drawing: Callable[[str], str]) -> Any:
    """Nested JSON with every piece of text said as `words` does, what is drawn (SVG) as `drawing` does."""
    if isinstance(content, str):
        return drawing(content) if _DRAWN.match(content) else words(content)
    if isinstance(content, Mapping):
        return {name: said_otherwise(part, words, drawing) for name, part in content.items()}
    if isinstance(content, (list, tuple)):
        return [said_otherwise(part, words, drawing) for part in content]
    return content
