"""Density bands of plastics as bars, with the liquids that a flake was put in as upright lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from flatstock.prints.drawing.axes import Axes
from flatstock.prints.drawing.svg import INK, QUIET, RULE, Drawing

__all__ = ["densities_svg"]

Document = Mapping[str, Any]
LOW, HIGH = 850.0, 1600.0  # kg/m3; what is heavier ends in an arrow
ROW = 22.0
#: what stands over a liquid's line, how it leans on it, and how high: towards each other they would meet on one line
_WORDS: Mapping[str, tuple[str, Literal["start", "middle", "end"], float]] = {
    "floats": ("◂ it floats", "end", 28),
    "sinks": ("it sinks ▸", "start", 12),
    "hovers": ("it hovers", "middle", 12),
}
TICKS = (900, 1000, 1100, 1200, 1300, 1400, 1500)


def densities_svg(
    bands: Sequence[Document], seen: Sequence[tuple[float, str]], following: float | None, width: float = 720
) -> str:
    """Bars of what is left hatched, of what is ruled out empty.

    Parameters
    ----------
    bands
        `name`, `low`, `high` [kg/m3] and `left`, the lightest first.
    seen
        Density of each liquid [kg/m3] and what the flake did in it.
    following : float | None
        The liquid to try next [kg/m3].
    """
    height = 78 + ROW * len(bands) + 40
    drawing = Drawing(width, height, title="Densities", description=_said(bands, seen, following))
    axes = Axes(drawing, 118, 70, width - 20, height - 40, LOW, HIGH, 0, max(1, len(bands)))
    axes.across([(value, f"{value / 1000:.1f}") for value in TICKS], caption="density, g/cm³")
    for row, one in enumerate(bands):
        top = axes.top + ROW * row
        heavy = one["low"] > HIGH
        left, right = axes.x(min(max(one["low"], LOW), HIGH)), axes.x(min(one["high"], HIGH))
        right = max(right, left + 3)
        drawing.words((axes.left - 8, top + 15), str(one["name"])[:15], anchor="end", bold=bool(one["left"]),
                      colour="#111111" if one["left"] else "#6b6b6b")  # fmt: skip
        if heavy:
            words = f"{one['low'] / 1000:.1f} to {one['high'] / 1000:.1f} ▸"
            drawing.words(
                (axes.right, top + 15),
                words,
                anchor="end",
                colour=INK.colour if one["left"] else QUIET.colour,
            )
            continue
        drawing.box(left, top + 4, right - left, ROW - 8, "solid" if one["left"] else "#ffffff",
                    INK if one["left"] else QUIET)  # fmt: skip
    for density, did in seen:
        x = axes.x(density)
        drawing.line((x, axes.top - 6), (x, axes.bottom), RULE)
        if (density, did) not in _nearest(seen):
            continue  # a lighter liquid that it floats in says more
        words, anchor, rise = _WORDS[did]
        drawing.words((x, axes.top - rise), words, anchor=anchor, bold=True)
    if following is not None:
        x = axes.x(following)
        drawing.line((x, axes.top - 38), (x, axes.bottom), INK.dashed("6 4"))
        drawing.words((x, axes.top - 46), f"try {following / 1000:.3f}", anchor="middle", ground=True)
    axes.rules()
    return drawing.svg()


def _nearest(seen: Sequence[tuple[float, str]]) -> list[tuple[float, str]]:
    """The lightest liquid that it floats in, the heaviest that it sinks in, and each in which it hovers."""
    floats = [one for one in seen if one[1] == "floats"]
    sinks = [one for one in seen if one[1] == "sinks"]
    return [*sorted(floats)[:1], *sorted(sinks)[-1:], *(one for one in seen if one[1] == "hovers")]


def _said(bands: Sequence[Document], seen: Sequence[tuple[float, str]], following: float | None) -> str:
    left = [
        f"{one['name']} {one['low'] / 1000:.2f} to {one['high'] / 1000:.2f}" for one in bands if one["left"]
    ]
    told = [f"{did} at {density / 1000:.3f}" for density, did in seen]
    parts = [
        f"Seen: {', '.join(told)}." if told else "Nothing seen yet.",
        f"Left: {'; '.join(left)}." if left else "Nothing is left.",
    ]
    if following is not None:
        parts.append(f"Next liquid: {following / 1000:.3f} g/cm³.")
    return " ".join(parts)
