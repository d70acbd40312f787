"""Who is in the shop: by the shop's hours, unless somebody has said that they came or left."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from flatstock.running.event import Event
from flatstock.workshop.shop import Person, Workshop

__all__ = ["Attendance"]


@dataclass(frozen=True, slots=True)
class Attendance:
    """Who is there when."""

    shop: Workshop
    zone: tzinfo
    said: tuple[Event, ...]  #: `arrived` and `left`, in order

    @classmethod
    def of(cls, shop: Workshop, zone: tzinfo, events: Iterable[Event]) -> Attendance:
        """From the events that stand."""
        return cls(shop, zone, tuple(e for e in events if e.kind in ("arrived", "left")))

    def here(self, person: str, at: datetime) -> bool:
        """Whether somebody is there: what was last said that day, since their hours last changed; else the hours."""
        one = self.shop.people.get(person)
        if one is None:
            return False
        by_hours, changed = self._by_hours(one, at)
        told = [e for e in self.said if person in e.who and changed <= e.at <= at]
        return told[-1].kind == "arrived" if told else by_hours

    def there(self, at: datetime, *, skill: str | None = None) -> tuple[str, ...]:
        """Everybody who is there, with the skill."""
        return tuple(
            person.id
            for person in self.shop.people.values()
            if (skill is None or skill in person.skills) and self.here(person.id, at)
        )

    def next_without(self, skill: str, *, after: datetime, within: timedelta) -> datetime | None:
        """The first instant at or after `after` at which nobody with the skill is there; None: not that soon."""
        edges = {after, *(e.at for e in self.said if after <= e.at <= after + within)}
        for person in self.shop.people.values():
            edges |= {t for t, _ in self._changes(person, after) if after <= t <= after + within}
        return next((t for t in sorted(edges) if not self.there(t, skill=skill)), None)

    def _by_hours(self, person: Person, at: datetime) -> tuple[bool, datetime]:
        """Whether the hours say that they are there, and since when they say so that day."""
        local = at.astimezone(self.zone)
        since, here = datetime.combine(local.date(), datetime.min.time(), self.zone), False
        for moment, comes in self._changes(person, at):
            if moment <= at:
                since, here = moment, comes
        return here, since

    def _changes(self, person: Person, at: datetime) -> list[tuple[datetime, bool]]:
        """Comings (true) and goings of one person on the day of `at`, and in the night into it, in order."""
        day = at.astimezone(self.zone).date()
        midnight = datetime.combine(day, datetime.min.time(), self.zone)
        found = []
        for stay in person.presence:
            for begins in (day - timedelta(days=1), day):
                for comes, goes in stay.spans(begins, self.zone):
                    if goes > midnight:
                        found += [(comes, True), (goes, False)]
        return sorted(found)
