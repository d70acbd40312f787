"""Who and what is taken when; minutes."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from flatstock.planning.problem.clock import Span, joined
from flatstock.planning.problem.week import Week

__all__ = ["Calendar", "Crew"]


@dataclass(slots=True)
class Calendar:
    """Stays in places alike, no more than `capacity` at once."""

    capacity: int
    taken: list[tuple[int, int]] = field(default_factory=list)

    def free(self, start: int, end: int) -> bool:
        """Whether one more fits from start to end."""
        there = [stay for stay in self.taken if stay[0] < end and stay[1] > start]
        if len(there) < self.capacity:
            return True
        moments = {max(start, begun) for begun, _ in there}
        return all(sum(a <= moment < b for a, b in there) < self.capacity for moment in moments)

    def take(self, start: int, end: int) -> None:
        """One more stay."""
        self.taken.append((start, end))


class Crew:
    """Everybody, with what they have to do; the least skilled are asked first."""

    def __init__(self, week: Week) -> None:
        self.people = sorted(week.people, key=lambda one: (len(one.skills & {"hot_transfer", "saw"}), one.id))
        self.there = {one.id: sorted(one.present) for one in self.people}
        self.busy: dict[str, list[Span]] = {one.id: [] for one in self.people}
        self.anybody = joined(stay for one in self.people for stay in one.present)

    def someone(self, moment: int) -> int | None:
        """The first minute from a moment on at which anybody is there."""
        stay = _last_before(self.anybody, moment + 1)
        if stay is not None and moment < stay.end:
            return moment
        return next((stay.start for stay in self.anybody if stay.start > moment), None)

    def free(self, start: int, end: int, count: int, skill: str = "") -> tuple[str, ...] | None:
        """So many people who are there throughout and have nothing else to do; None: there are not enough."""
        found: list[str] = []
        for one in self.people:
            if skill and skill not in one.skills:
                continue
            stay = _last_before(self.there[one.id], start + 1)
            if stay is None or stay.end < end:
                continue
            work = _last_before(self.busy[one.id], end)
            if work is None or work.end <= start:
                found.append(one.id)
                if len(found) == count:
                    return tuple(found)
        return None

    def take(self, start: int, end: int, who: Iterable[str]) -> None:
        """They are busy then."""
        for name in who:
            insort(self.busy[name], Span(start, end))


def _last_before(spans: Sequence[Span], moment: int) -> Span | None:
    """Of spans in their order, none over another, the last that starts before a moment."""
    n = bisect_left(spans, moment, key=lambda span: span.start)
    return spans[n - 1] if n else None
