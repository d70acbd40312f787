"""Moulds in a hot press that can't be taken out in time: nobody is there who may, or no cooling press takes them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flatstock.planning.problem.clock import Span, less, starts_within
from flatstock.planning.problem.week import HOT, Sheet, Week

__all__ = ["LATE_GRACE", "Stranded", "stranded"]

LATE_GRACE = 45  #: a mould that is over its latest already leaves within this, minutes; our own figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranded:
    """A mould that can't be taken out in time. Minutes."""

    sheet: Sheet
    press: str
    soonest: int  #: its dwell is over
    last: int  #: before it spoils, or before heating would be unattended
    call_by: int  #: what it lacks has to be there from then on, for it to be saved
    there: tuple[str, ...]  #: who has the skill and is there for some of that
    handed: bool  #: two of them are there together: it is a cooling press that it lacks

    def why(self, week: Week) -> str:
        """In words."""
        moment = week.clock.moment
        when = f"between {moment(self.soonest):%a %H:%M} and {moment(self.last):%a %H:%M}"
        if self.handed:
            return f"it must leave {self.press} {when}, and {self._cooling()} is out of order then"
        there = " and ".join(self.there)
        who = f"only {there}" if len(self.there) == 1 else f"{there}, and not two of them together"
        return (
            f"it must leave {self.press} {when}, and fewer than two people with {HOT} are there for it"
            f" ({who if self.there else 'nobody'})"
        )

    def call(self) -> str:
        """What would save it, to be done by `call_by`."""
        if self.handed:
            presses = " or ".join(self.sheet.kind.press_cool)
            return f"get {presses} to work again, write it"
        return (
            f"call whoever is trained, so that two people with {HOT} are at {self.press}, write their hours"
        )

    def _cooling(self) -> str:
        names = list(self.sheet.kind.press_cool)
        return names[0] if len(names) == 1 else f"every one of {', '.join(names)}"


def stranded(week: Week) -> Iterator[Stranded]:
    """Moulds in a hot press that two people with the skill can't take out in time into a cooling press that works.

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
        hands = [
            Span(max(span.start, soonest), min(span.end, last, ends))
            for span in free
            if span.start <= min(last, ends) and span.end >= soonest
        ]
        if any(_taken(week, sheet, place, hands) for place in sheet.kind.press_cool):
            continue
        if dwell.latest is not None and load.end + dwell.latest > week.now:
            last = load.end + dwell.latest  # the grace is for what is over it already
        yield Stranded(
            sheet=sheet, press=press, soonest=soonest, last=last,
            call_by=min(last, week.now if watched is None else watched.end),
            there=tuple(
                one.id
                for one in week.skilled(HOT)
                if any(s.start <= last and s.end > soonest for s in one.present)
            ),
            handed=bool(hands),
        )  # fmt: skip


def _taken(week: Week, sheet: Sheet, place: str, hands: Sequence[Span]) -> bool:
    """Whether a cooling press works when hands are there, for as long as the mould has to be in it."""
    stay = week.times.transfer + max(sheet.kind.press_cool[place], sheet.cool_least)
    works = less([Span(week.now, week.end + stay)], week.sites[place].absent)
    return any(max(h.start, w.start) <= min(h.end, w.end - stay) for h in hands for w in works)
