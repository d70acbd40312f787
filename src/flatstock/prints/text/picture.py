"""The temperature through the thickness, drawn with letters."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from flatstock.pressing.pictures import Moment, ThicknessPicture
from flatstock.prints.drawing.axes import round_step, ticks
from flatstock.prints.drawing.in_units import thickness_in
from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.text.layout import COLUMNS, clean, width_of, wrapped

__all__ = ["thickness_lines"]

_LEFT, _ACROSS, _ROWS = 10, 68, 9
_SOLID, _MELTING, _MOLTEN, _HOT = "▓", "░", "·", " "


def thickness_lines(picture: ThicknessPicture, shown: Shown = METRIC) -> list[str]:
    """The state through the thickness against time, the core's temperature under it, and the moments."""
    picture, degrees = thickness_in(picture, shown), shown.unit("C")
    times = np.linspace(picture.times[0], picture.times[-1], _ACROSS)
    shares = np.linspace(picture.heights[-1], picture.heights[0], _ROWS)
    lines = []
    for row, height in enumerate(shares):
        at = int(np.argmin(np.abs(picture.heights - height)))
        name = {0: "top skin", _ROWS // 2: "middle", _ROWS - 1: "bottom"}.get(row, "")
        values = np.interp(times, picture.times, picture.temperature[:, at])
        lines.append(f"{name:>{_LEFT - 1}} │" + "".join(_state(picture, float(value)) for value in values))
    lines += _foot(picture, degrees)
    key = (
        f"{_SOLID} solid, under {picture.melting_onset:.0f} {degrees}; {_MELTING} melting; {_MOLTEN} molten, over"
        f" {picture.melting_end:.0f} {degrees}; blank: over the target of {picture.target:.0f} {degrees}."
    )
    return [line.rstrip() for line in lines] + wrapped(key, first=" " * _LEFT)


def _state(picture: ThicknessPicture, value: float) -> str:
    if value < picture.melting_onset:
        return _SOLID
    if value < picture.melting_end:
        return _MELTING
    return _MOLTEN if value < picture.target else _HOT


def _foot(picture: ThicknessPicture, degrees: str) -> list[str]:
    """Axis with the moments' letters on it, minutes, core temperatures, and what the letters mean."""
    start, end = picture.times[0] / 60, picture.times[-1] / 60

    def column(minute: float) -> int:
        return round(float(minute - start) / float(end - start) * (_ACROSS - 1))

    axis, minutes, core = ["─"] * _ACROSS, [" "] * (_ACROSS + 4), [" "] * (_ACROSS + 4)
    for value in ticks(start, end, round_step(end - start, 8)):
        _put(minutes, column(value), f"{value:g}")
        _put(core, column(value), f"{np.interp(value * 60, picture.times, picture.core):.0f}")
    shown = [
        one for one in sorted(picture.moments, key=lambda one: one.time) if start <= one.time / 60 <= end
    ]
    for i, one in enumerate(shown):
        axis[column(one.time / 60)] = _letter(i)
    return [
        " " * (_LEFT - 1) + "└" + "".join(axis),
        f"{'minutes':>{_LEFT - 1}} " + "".join(minutes)[:_ACROSS],
        f"{'core, ' + degrees:>{_LEFT - 1}} " + "".join(core)[:_ACROSS],
        *_meanings(shown),
    ]


def _meanings(moments: Sequence[Moment]) -> list[str]:
    lines = [" " * _LEFT]
    for i, one in enumerate(moments):
        said = f"{_letter(i)} {clean(one.label)} {one.time / 60:.1f} min   "
        if width_of(lines[-1] + said.rstrip()) > COLUMNS and lines[-1].strip():
            lines.append(" " * _LEFT)
        lines[-1] += said
    return lines if moments else []


def _letter(number: int) -> str:
    return chr(ord("a") + number % 26)


def _put(line: list[str], at: int, words: str) -> None:
    """Write words into a line, moved left where they would stand over its end."""
    at = min(at, _ACROSS - len(words))
    if all(letter == " " for letter in line[max(0, at - 1) : at + len(words)]):
        line[at : at + len(words)] = words
