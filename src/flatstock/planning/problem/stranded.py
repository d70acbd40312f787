"""Moulds in a hot press that nobody may take out in time."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.errors import Fault
from flatstock.planning.problem.clock import starts_within
from flatstock.planning.problem.week import HOT, Week

__all__ = ["LATE_GRACE", "stranded"]

LATE_GRACE = 45  #: a mould that is over its latest already leaves within this, minutes; our own figure


def stranded(week: Week) -> Iterator[Fault]:
    """Moulds in a hot press that nobody may take out in time: two people with the skill are not there."""
    people = [one.present for one in week.skilled(HOT)]
    free = starts_within(people, people=2, minutes=week.times.transfer, start=week.now, end=week.end)
    for sheet in week.sheets:
        load = sheet.work("load")
        if load is None or sheet.work("transfer") is not None:
            continue
        press = next(place for place in load.places if place in sheet.kind.dwell)
        dwell = sheet.kind.dwell[press]
        soonest = max(week.now, load.end + dwell.planned)
        last = week.end if dwell.latest is None else max(load.end + dwell.latest, week.now + LATE_GRACE)
        if any(span.start <= last and span.end >= soonest for span in free):
            continue
        there = ", ".join(
            one.id
            for one in week.skilled(HOT)
            if any(s.start <= last and s.end > soonest for s in one.present)
        )
        yield Fault(
            f"{sheet.id} in {press}",
            f"it must leave between {week.clock.moment(soonest):%a %H:%M} and {week.clock.moment(last):%a %H:%M}, and"
            f" fewer than two people with {HOT} are there ({there or 'nobody'})",
            "call somebody who is trained and write their hours, or switch the heaters off and give the charge up",
        )
