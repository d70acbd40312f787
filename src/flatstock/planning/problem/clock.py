"""Spans of whole minutes on the shop's clock, and who is there in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from itertools import pairwise

__all__ = ["Clock", "Span", "common", "counted", "joined", "less", "starts_within"]


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """From `start` up to `end`, minutes."""

    start: int
    end: int

    @property
    def length(self) -> int:
        """Minutes."""
        return self.end - self.start

    def holds(self, start: int, end: int) -> bool:
        """Whether all of start … end lies in it."""
        return self.start <= start and end <= self.end


@dataclass(frozen=True, slots=True)
class Clock:
    """Minutes since `origin`, counted in true time, so that a change of the clocks shifts nothing.

    Python counts between two moments of one time zone by the clock on the wall: so all is counted in UTC.
    """

    origin: datetime
    zone: tzinfo

    def minute(self, moment: datetime, *, up: bool = False) -> int:
        """Whole minutes from the origin to a moment; part of a minute is dropped, or counted with `up`."""
        seconds = (moment.astimezone(UTC) - self.origin.astimezone(UTC)).total_seconds()
        return int(-(-seconds // 60) if up else seconds // 60)

    def moment(self, minute: float) -> datetime:
        """The moment, with the offset that holds there written as a number."""
        local = (self.origin.astimezone(UTC) + timedelta(minutes=minute)).astimezone(self.zone)
        return local.replace(tzinfo=timezone(local.utcoffset() or timedelta(0)), fold=0)

    def text(self, minute: float) -> str:
        """The moment as documents carry it."""
        return self.moment(minute).isoformat()


def joined(spans: Iterable[Span]) -> list[Span]:
    """The same minutes in as few spans as can be."""
    found: list[Span] = []
    for span in sorted(spans):
        if found and span.start <= found[-1].end:
            found[-1] = Span(found[-1].start, max(found[-1].end, span.end))
        elif span.length > 0:
            found.append(span)
    return found


def common(one: Sequence[Span], other: Sequence[Span]) -> list[Span]:
    """Minutes that lie in both."""
    both = [Span(max(a.start, b.start), min(a.end, b.end)) for a in one for b in other]
    return joined(span for span in both if span.length > 0)


def less(spans: Iterable[Span], out: Iterable[Span]) -> list[Span]:
    """The minutes of `spans` that lie in none of `out`."""
    left = list(spans)
    for gap in out:
        left = [
            piece
            for s in left
            for piece in (Span(s.start, min(s.end, gap.start)), Span(max(s.start, gap.end), s.end))
            if piece.length > 0
        ]
    return left


def counted(many: Iterable[Sequence[Span]], *, start: int, end: int) -> list[tuple[Span, int]]:
    """How many of `many` are there, piece by piece from `start` to `end`."""
    listed = [list(spans) for spans in many]
    edges = {start, end}
    for spans in listed:
        edges |= {edge for span in spans for edge in (span.start, span.end) if start < edge < end}
    ordered = sorted(edges)
    pieces: list[tuple[Span, int]] = []
    for low, high in pairwise(ordered):
        there = sum(any(span.holds(low, high) for span in joined(spans)) for spans in listed)
        if pieces and pieces[-1][1] == there:
            pieces[-1] = (Span(pieces[-1][0].start, high), there)
        else:
            pieces.append((Span(low, high), there))
    return pieces


def starts_within(
    many: Iterable[Sequence[Span]], *, people: int, minutes: int, start: int, end: int
) -> list[Span]:
    """Starts (last one included) of a task of `minutes` that finds the same `people` of `many` there throughout.

    Whoever begins a task ends it: where one goes as another comes, nobody takes a task over from them.
    """
    begins = [
        [
            Span(max(stay.start, start), min(stay.end, end) - minutes + 1)
            for stay in joined(stays)
            if min(stay.end, end) - max(stay.start, start) >= minutes
        ]
        for stays in many
    ]
    enough = joined(span for span, there in counted(begins, start=start, end=end + 1) if there >= people)
    return [Span(span.start, span.end - 1) for span in enough]
