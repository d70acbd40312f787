"""Moulds in a hot press that nobody may take out in time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.planning.problem.clock import starts_within
from flatstock.planning.problem.week import HOT, Sheet, Week

__all__ = ["LATE_GRACE", "Stranded", "stranded"]

LATE_GRACE = 45  #: a mould that is over its latest already leaves within this, minutes; our own figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranded:
    """A mould with nobody to take it out. Minutes."""

    sheet: Sheet
    press: str
    soonest: int  #: its dwell is over
    last: int  #: before it spoils, or before heating would be unattended
    call_by: int  #: two people with the skill have to be there from then on, for it to be saved
    there: tuple[str, ...]  #: who has the skill and is there for some of that

    def why(self, week: Week) -> str:
        """In words."""
        moment = week.clock.moment
        there = " and ".join(self.there)
        who = f"only {there}" if len(self.there) == 1 else f"{there}, and not two of them together"
        return (
            f"it must leave {self.press} between {moment(self.soonest):%a %H:%M} and {moment(self.last):%a %H:%M}, and"
            f" fewer than two people with {HOT} are there for it ({who if self.there else 'nobody'})"
        )


def stranded(week: Week) -> Iterator[Stranded]:
    """Moulds in a hot press that nobody may take out in time: two people with the skill are not there.

    Heating is never unattended: once nobody with the skill is there any more it is too late.
    """
    people = [one.present for one in week.skilled(HOT)]
    free = starts_within(people, people=2, minutes=week.times.transfer, start=week.now, end=week.end)
    watched = next((stay for stay in week.supervised() if stay.start <= week.now < stay.end), None)
    for sheet in week.sheets:
        load = sheet.work("load")
        if load is None or sheet.work("transfer") is not None:
            continue
        press = next(place for place in load.places if place in sheet.kind.dwell)
        dwell = sheet.kind.dwell[press]
        soonest = max(week.now, load.end + dwell.planned)
        last = week.end if dwell.latest is None else max(load.end + dwell.latest, week.now + LATE_GRACE)
        ends = week.now if watched is None else watched.end - week.times.transfer
        if any(span.start <= min(last, ends) and span.end >= soonest for span in free):
            continue
        yield Stranded(
            sheet=sheet, press=press, soonest=soonest, last=last,
            call_by=min(last, week.now if watched is None else watched.end),
            there=tuple(
                one.id
                for one in week.skilled(HOT)
                if any(s.start <= last and s.end > soonest for s in one.present)
            ),
        )  # fmt: skip
