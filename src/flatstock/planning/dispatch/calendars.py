"""Who and what is taken when; minutes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Person, Week

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
        ranked = sorted(week.people, key=lambda one: (len(one.skills & {"hot_transfer", "saw"}), one.id))
        self.people: Sequence[Person] = ranked
        self.busy: dict[str, list[Span]] = {one.id: [] for one in ranked}

    def free(self, start: int, end: int, count: int, skill: str = "") -> tuple[str, ...] | None:
        """So many people who are there throughout and have nothing else to do; None: there are not enough."""
        found = []
        for one in self.people:
            if skill and skill not in one.skills:
                continue
            if not any(stay.start <= start and end <= stay.end for stay in one.present):
                continue
            if not any(work.start < end and work.end > start for work in self.busy[one.id]):
                found.append(one.id)
                if len(found) == count:
                    return tuple(found)
        return None

    def take(self, start: int, end: int, who: Iterable[str]) -> None:
        """They are busy then."""
        for name in who:
            self.busy[name].append(Span(start, end))
