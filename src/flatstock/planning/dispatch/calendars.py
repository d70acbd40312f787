"""Who and what is taken when; minutes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import islice

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Site, Week

__all__ = ["Calendar", "Crew", "later"]


@dataclass(slots=True)
class Calendar:
    """Stays in places alike, no more than `capacity` at once."""

    capacity: int
    taken: list[tuple[int, int]] = field(default_factory=list)

    @classmethod
    def of(cls, sites: Iterable[Site]) -> Calendar:
        """Of these places together; one that is out of order is full then."""
        places = list(sites)
        out = [
            (gone.start, gone.end) for site in places for gone in site.absent for _ in range(site.capacity)
        ]
        return cls(sum(site.capacity for site in places), out)

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
    """Everybody, with what they have to do; the least skilled are asked first.

    Minutes are bits of whole numbers, so that the next minute at which enough people are free is found at once.
    """

    def __init__(self, week: Week) -> None:
        people = sorted(week.people, key=lambda one: (len(one.skills & {"hot_transfer", "saw"}), one.id))
        self.skills = {one.id: one.skills for one in people}
        at_hand = {one.id: later(one.at_hand, week.now) for one in people}
        self.origin = min((span.start for spans in at_hand.values() for span in spans), default=week.now)
        self.idle = {name: self._bits(spans) for name, spans in at_hand.items()}
        self.known: dict[tuple[int, int, str], int] = {}

    def _bits(self, spans: Iterable[Span]) -> int:
        found = 0
        for span in spans:
            found |= ((1 << span.length) - 1) << span.start - self.origin
        return found

    def next(self, moment: int, minutes: int, count: int, skill: str = "") -> int | None:
        """The first minute from a moment on from which so many people are free for so long; None: there is none."""
        return self._next(self._starts(minutes, count, skill), moment)

    def free(self, start: int, end: int, count: int, skill: str = "") -> tuple[str, ...] | None:
        """So many people who are there throughout and have nothing else to do; None: there are not enough."""
        at = start - self.origin
        if at < 0 or not self._starts(end - start, count, skill) >> at & 1:
            return None
        wanted = (1 << end - start) - 1
        able = (n for n in self.idle if not skill or skill in self.skills[n])
        return tuple(islice((n for n in able if self.idle[n] >> at & wanted == wanted), count))

    def _starts(self, minutes: int, count: int, skill: str) -> int:
        key = (minutes, count, skill)
        if key not in self.known:
            enough = [0] * (count + 1)  # minutes at which 0, 1, 2 … and more are free
            enough[0] = -1
            for name, idle in self.idle.items():
                if not skill or skill in self.skills[name]:
                    begins = _lasting(idle, minutes)
                    for n in range(count, 0, -1):
                        enough[n] |= enough[n - 1] & begins
            self.known[key] = enough[count]
        return self.known[key]

    def _next(self, minutes: int, moment: int) -> int | None:
        at = max(0, moment - self.origin)
        later = minutes >> at
        return self.origin + at + (later & -later).bit_length() - 1 if later else None

    def take(self, start: int, end: int, who: Iterable[str]) -> None:
        """They are busy then."""
        start = max(start, self.origin)
        if end <= start:
            return
        for name in who:
            self.idle[name] &= ~(((1 << end - start) - 1) << start - self.origin)
        self.known.clear()


def later(spans: Iterable[Span], moment: int) -> list[Span]:
    """What of these is left from a moment on."""
    return [Span(max(span.start, moment), span.end) for span in spans if span.end > moment]


def _lasting(minutes: int, length: int) -> int:
    """Of minutes that are open those from which it stays so for `length`."""
    reach = 1
    while reach < length:
        step = min(reach, length - reach)
        minutes &= minutes >> step
        reach += step
    return minutes
