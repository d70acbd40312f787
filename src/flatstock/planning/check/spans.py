"""Stretches of time: joined, held against each other, counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

__all__ = ["Span", "gaps", "joined", "overfull"]

Span = tuple[datetime, datetime]


def joined(spans: Iterable[Span]) -> list[Span]:
    """The same time in as few stretches as can be; empty ones are left out."""
    found: list[Span] = []
    for start, end in sorted(spans):
        if end <= start:
            continue
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], end))
        else:
            found.append((start, end))
    return found


def gaps(whole: Span, covered: Iterable[Span]) -> list[Span]:
    """What of `whole` is not covered."""
    at, found = whole[0], []
    for start, end in joined(covered):
        if start > at:
            found.append((at, min(start, whole[1])))
        at = max(at, end)
        if at >= whole[1]:
            break
    if at < whole[1]:
        found.append((at, whole[1]))
    return [(start, end) for start, end in found if end > start]


def overfull(
    stays: Iterable[tuple[datetime, datetime, str]], capacity: int
) -> Iterator[tuple[datetime, datetime, tuple[str, ...]]]:
    """Stretches in which more than `capacity` different ones are there, with who they are.

    Ends are left before starts are entered, so touching is not overlapping.
    """
    by_name: dict[str, list[Span]] = {}
    for start, end, name in stays:
        by_name.setdefault(name, []).append((start, end))
    events: list[tuple[datetime, int, str]] = []
    for name, spans in by_name.items():
        for start, end in joined(spans):
            events += [(start, 1, name), (end, 0, name)]
    there: set[str] = set()
    since: datetime | None = None
    seen: set[str] = set()
    for at, enters, name in sorted(events):
        if enters:
            there.add(name)
        else:
            there.discard(name)
        if len(there) > capacity:
            since = at if since is None else since
            seen |= there
        elif since is not None:
            if at > since:
                yield since, at, tuple(sorted(seen))
            since, seen = None, set()
