"""A line of a new workshop's file with its meaning beside it, and whether anybody has measured what it says."""

from __future__ import annotations

import json

from flatstock.units import System, ending, from_si

__all__ = ["bare", "figures", "guess", "line", "measure", "quoted"]

_COLUMN = 56  # where the comments begin
_UNITS = {
    "metric": {"length": "mm", "mass": "kg", "temperature": "C", "small_mass": "g", "force": "kN"},
    "us": {"length": "in", "mass": "lb", "temperature": "F", "small_mass": "oz", "force": "lbf"},
}


def line(text: str, comment: str) -> str:
    """`text` with `comment` beside it."""
    return f"{text:<{_COLUMN - 1}} # {comment}"


def bare(name: str, figure: str, comment: str, *, assumed: bool) -> str:
    """A number; one that nobody has measured says so, so that every answer that rests on it does too."""
    if assumed:
        return line(f'{name} = {{ value = {figure}, kind = "assumed" }}', f"{comment}; assumed")
    return line(f"{name} = {figure}", comment)


def guess(name: str, figure: str, comment: str) -> str:
    """A number that is nobody's yet."""
    return bare(name, figure, comment, assumed=True)


def measure(
    system: System, stem: str, dimension: str, number: float, comment: str, *, assumed: bool = True
) -> str:
    """A quantity (SI) in the unit that a shop of this system reads; `small_mass` is a mass in g or oz."""
    unit = _UNITS[system][dimension]
    shown = from_si(number, "mass" if dimension == "small_mass" else dimension, unit)
    return bare(f"{stem}_{ending(unit)}", figures(shown), comment, assumed=assumed)


def figures(number: float) -> str:
    """A number as it is written into a file."""
    return f"{number:.6g}"


def quoted(text: str) -> str:
    """Text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")
