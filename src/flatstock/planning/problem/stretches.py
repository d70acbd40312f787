"""When a hot press may be heated: while somebody who may is there, and it is in order.

Through an outage its heaters are off, so that nobody works at hot platens and nothing is held hot that nobody heats
with; what was in it when it failed is brought to its end first.
"""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.planning.problem.clock import Span, less
from flatstock.planning.problem.week import Week

__all__ = ["Stretch", "stretches"]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a supervised stay, or all of it. Minutes."""

    #: of its stay for the first in each; those that an outage parts from it have numbers after all of the stays'
    number: int
    stay: int
    span: Span
    #: heaters are off by then, or once the mould is out that the press holds now; None: by the span's end
    off_by: int | None = None


def stretches(week: Week, press: str) -> list[Stretch]:
    """A press's stretches, in the order of the clock. The one in which it holds a mould now lasts as long as its stay:
    the mould may stay in it into an outage, or beyond."""
    stays, out = week.supervised(), week.sites[press].absent
    found: list[Stretch] = []
    more = len(stays)
    for k, stay in enumerate(stays):
        pieces: list[tuple[Span, int | None]] = [(piece, None) for piece in less([stay], out)]
        fails = min(
            (gone.start for gone in out if gone.end > week.now and gone.start < stay.end), default=None
        )
        if stay.start <= week.now < stay.end and fails is not None and week.holds(press):
            begun = max((piece.start for piece, _ in pieces if piece.start <= week.now), default=stay.start)
            later = [piece for piece in pieces if piece[0].start > week.now]
            pieces = [(Span(begun, stay.end), max(fails, week.emptied_by(press))), *later]
        for n, (piece, off_by) in enumerate(pieces):
            found.append(Stretch(more if n else k, k, piece, off_by))
            more += n > 0
    return found
