"""Amperes on each phase through a day, against what the supply is rated for."""

from __future__ import annotations

from flatstock.prints.drawing.plan.hours import Hours
from flatstock.prints.drawing.svg import INK, QUIET, RULE
from flatstock.prints.plan_view import View

__all__ = ["AMPS", "draw_amps"]

AMPS = 40.0  #: height of one phase


def draw_amps(hours: Hours, view: View, top: float) -> None:
    """Three step lines under each other, the rating dashed over each."""
    rated = view.document["supply"]["rated_A"]
    pieces = view.amps(hours.day)
    most = max([amp for _, _, amps in pieces for amp in amps] + [rated or 0.0, 1.0]) * 1.08
    for phase in range(3):
        foot = top + AMPS * (phase + 1) - 4
        scale = (AMPS - 10) / most
        hours.drawing.words((4, foot - 8), f"L{phase + 1}", size=12, bold=True)
        _phase(hours, [(a, b, amps[phase]) for a, b, amps in pieces], foot, scale, rated)
        if rated:
            y = foot - rated * scale
            hours.drawing.line((hours.left, y), (hours.right, y), QUIET.dashed("6 3"))
            hours.drawing.words((hours.left - 5, y + 4), f"{rated:g} A", size=9, anchor="end")
        hours.drawing.line((hours.left, foot), (hours.right, foot), INK)


def _phase(
    hours: Hours, pieces: list[tuple[float, float, float]], foot: float, scale: float, rated: float | None
) -> None:
    shown = [
        (max(a, hours.first), min(b, hours.last), amps)
        for a, b, amps in pieces
        if b > hours.first and a < hours.last
    ]
    outline = [(hours.x(at), foot - amps * scale) for a, b, amps in shown for at in (a, b)]
    if not outline:
        return
    hours.drawing.area([(outline[0][0], foot), *outline, (outline[-1][0], foot)], "work")
    hours.drawing.curve(outline, INK)
    start, end, peak = max(shown, key=lambda piece: piece[2])
    over = rated is not None and peak > rated
    said = f"{peak:.1f} A" + (" OVER" if over else "")
    at = min(max(hours.x((start + end) / 2), hours.left + 30), hours.right - 30)
    hours.drawing.words((at, foot - 4), said, size=9.5, anchor="middle", bold=over, ground=True)
    if over:
        hours.drawing.line((hours.x(start), foot - peak * scale), (hours.x(end), foot - peak * scale), RULE)
