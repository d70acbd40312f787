"""Moulds in a hot press that can't be taken out in time: nobody is there who may, or no cooling press takes them, since
each is out of order or still holds a mould that can't leave it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from flatstock.planning.problem.clock import Span, less, starts_within
from flatstock.planning.problem.warmth import (
    ends_after,
    least_to_open,
    opens_after,
    plates_of,
    stacked_after,
)
from flatstock.planning.problem.week import HOT, Sheet, Week, Work
from flatstock.workshop.skill_words import trained

__all__ = ["Stranded", "out_by", "out_sooner", "over_at_least", "stranded"]

#: minutes: a mould that can't be out by its latest is taken out late, within the first of now or the second of its
#: latest, or it is given up; our own figures
LATE_GRACE, OVER_GRACE = 45, 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranded:
    """A mould that can't be taken out in time. Minutes."""

    sheet: Sheet
    press: str
    soonest: int  #: its dwell is over
    last: int  #: before it spoils, or before heating would be unattended
    call_by: int  #: what it lacks has to be there from then on, for it to be saved
    there: tuple[str, ...]  #: who has the skill and is there for some of that
    lacks: str = ""  #: what is wrong with every cooling press, in words; empty: it is hands that it lacks
    save: str = ""  #: what would make room in one, in words

    def why(self, week: Week) -> str:
        """In words."""
        moment = week.clock.moment
        when = f"between {moment(self.soonest):%a %H:%M} and {moment(self.last):%a %H:%M}"
        if self.lacks:
            return f"it must leave {self.press} {when}, and {self.lacks}"
        there = " and ".join(self.there)
        who = f"only {there}" if len(self.there) == 1 else f"{there}, and not two of them together"
        return (
            f"it must leave {self.press} {when}, and fewer than two people {trained(HOT)} are there for it"
            f" ({who if self.there else 'nobody'})"
        )

    def call(self) -> str:
        """What would save it, to be done by `call_by`."""
        if self.lacks:
            return self.save
        return f"call whoever is trained, so that two people {trained(HOT)} are at {self.press}, write their hours"


def out_by(week: Week, latest: int) -> int:
    """Until when a mould with this latest may be planned out of its hot press, late where it must be."""
    return max(latest + OVER_GRACE, week.now + LATE_GRACE)


def stranded(week: Week) -> Iterator[Stranded]:
    """Moulds in a hot press that two people with the skill can't take out in time into a cooling press that works.

    Heating is never unattended: once nobody with the skill is there any more it is too late.
    """
    people = [one.present for one in week.skilled(HOT)]
    free = starts_within(people, people=2, minutes=week.times.transfer, start=week.now, end=week.end)
    watched = next((stay for stay in week.supervised() if stay.start <= week.now < stay.end), None)
    for sheet in week.sheets:
        inside = sheet.inside
        if inside is None:
            continue
        soonest, latest = max(week.now, inside.load.end + inside.dwell.planned), inside.latest
        last = week.end if latest is None else out_by(week, latest)
        ends = week.now if watched is None else watched.end - week.times.transfer
        hands = [
            Span(max(span.start, soonest), min(span.end, last, ends))
            for span in free
            if span.start <= min(last, ends) and span.end >= soonest
        ]
        presses = [_Taking(week, sheet, place) for place in sheet.kind.press_cool]
        if any(one.first(hands) is not None for one in presses):
            continue
        if latest is not None and latest > week.now:
            last = latest  # the grace is for what is over it already
        yield Stranded(
            sheet=sheet, press=inside.press, soonest=soonest, last=last,
            call_by=min(last, week.now if watched is None else watched.end),
            there=tuple(
                one.id
                for one in week.skilled(HOT)
                if any(s.start <= last and s.end > soonest for s in one.present)
            ),
            lacks=_said(presses, hands) if hands else "", save=_saved(presses, hands) if hands else "",
        )  # fmt: skip


def out_sooner(week: Week, one: Stranded) -> Sheet | None:
    """The sheet with as long a dwell as it may have, where its mould can be taken out once its coldest point has
    reached the target, though not once the dwell that its card advises is over; None: not then either."""
    load = one.sheet.work("load")
    assert load is not None  # it is in the press
    dwell = one.sheet.kind.dwell[one.press]
    people = [person.present for person in week.skilled(HOT)]
    free = starts_within(people, people=2, minutes=week.times.transfer, start=week.now, end=week.end)
    window = Span(max(week.now, load.end + max(dwell.least, one.sheet.dwell_least)), load.end + dwell.planned)
    ends = max(
        (stay.end for stay in week.supervised() if stay.start <= week.now < stay.end), default=week.now
    )
    last = min(window.end, ends - week.times.transfer)
    hands = [Span(max(s.start, window.start), min(s.end, last)) for s in free]
    hands = [span for span in hands if span.start <= span.end]
    moments = [_Taking(week, one.sheet, place).last(hands) for place in one.sheet.kind.press_cool]
    leaves = max((moment for moment in moments if moment is not None), default=None)
    if leaves is None:
        return None
    shorter = replace(dwell, planned=leaves - load.end, advised=dwell.planned)
    kind = replace(one.sheet.kind, dwell={**one.sheet.kind.dwell, one.press: shorter})
    return replace(one.sheet, kind=kind)


def over_at_least(week: Week) -> int:
    """Minutes past their latest, over all moulds in hot presses, that no plan does without: as late as two people
    with the skill are there and a cooling press can be empty, each mould taken alone."""
    people = [one.present for one in week.skilled(HOT)]
    total = 0
    for sheet in week.sheets:
        inside = sheet.inside
        if inside is None or inside.latest is None:
            continue
        soonest = max(week.now, inside.load.end + inside.dwell.planned)
        free = starts_within(people, people=2, minutes=week.times.transfer, start=soonest, end=week.end)
        moments = [_Taking(week, sheet, place).first(free) for place in sheet.kind.press_cool]
        total += max(0, min((at for at in moments if at is not None), default=0) - inside.latest)
    return total


class _Taking:
    """A cooling press, as one mould finds it that is to come into it."""

    def __init__(self, week: Week, sheet: Sheet, place: str) -> None:
        self.week, self.place, self.out = week, place, week.sites[place].absent
        #: at least, on cold plates
        self.stay = week.times.transfer + max(least_to_open(sheet, place), sheet.cool_least)
        #: the mould in it, and the first minute at which it can be empty again
        self.held = next(_in_it(week, place), None)

    def first(self, hands: Sequence[Span], *, empty: bool = False) -> int | None:
        """The first minute at which it is empty and works while hands are there, for as long as the mould has to be in
        it; None: there is none. `empty`: whatever is in it now."""
        return min((start for start, _ in self._moments(hands, empty=empty)), default=None)

    def last(self, hands: Sequence[Span]) -> int | None:
        """The last such minute."""
        return max((last for _, last in self._moments(hands, empty=False)), default=None)

    def _moments(self, hands: Sequence[Span], *, empty: bool) -> Iterator[tuple[int, int]]:
        """From when to when it takes a mould, its ends included."""
        end = self.week.end + self.stay
        since = self.week.now if self.held is None or empty else self.held[1]
        works = less([Span(since, end)], self.out)
        both = ((max(h.start, w.start), min(h.end, w.end - self.stay)) for h in hands for w in works)
        yield from ((start, last) for start, last in both if start <= last)

    def holds(self, hands: Sequence[Span]) -> str:
        """What in it is in the way, where it works; empty: it is out of order."""
        if self.held is None or self.first(hands, empty=True) is None:
            return ""
        sheet, until = self.held
        return f"{self.place} holds {sheet.id} until {self.week.clock.moment(until):%a %H:%M} at the soonest"


def _in_it(week: Week, place: str) -> Iterator[tuple[Sheet, int]]:
    """The mould in a cooling press, and the first minute at which it can be out of it.

    What stands elsewhere is taken to make room for it: there is none who is out sooner than this.
    """
    for sheet in week.sheets:
        gone, moved = sheet.work("transfer"), sheet.work("move")
        if gone is None or place not in gone.places or sheet.work("demould") is not None:
            continue
        if moved is None:
            yield sheet, min(_ways_out(week, sheet, place, gone), default=week.end)
        elif moved.end > week.now:
            yield sheet, moved.end


def _ways_out(week: Week, sheet: Sheet, place: str, gone: Work) -> Iterator[int]:
    """When it is out at the soonest if it is opened there, and if it goes to each stack or rack."""
    t, kind = week.times, sheet.kind
    lifted = 1 if week.lift_for(kind.mould_mass) else 2
    warmth = plates_of(week).warmth.get(sheet.id, 0)
    opens = max(week.now, gone.end + opens_after(sheet, place, warmth))
    whole = max(opens, gone.end + ends_after(sheet, place, warmth))

    def first(moment: int, minutes: int, free: Sequence[Span]) -> int | None:
        people = [one.at_hand for one in week.people]
        spans = starts_within(people, people=lifted, minutes=minutes, start=moment, end=week.end)
        both = (
            max(a.start, b.start) for a in spans for b in free if max(a.start, b.start) <= min(a.end, b.end)
        )
        return min(both, default=None)

    always = [Span(week.now, week.end)]
    opened = first(whole, t.demould, always)
    if opened is not None:
        yield opened
    for stay in kind.rest:
        stacked = week.sites[stay].kind == "stack"
        alone = not stacked or bool(sheet.melts)  # or among its like
        since = opens if alone else max(opens, gone.end + stacked_after(sheet, place, warmth))
        start = first(since, t.move, less(always, week.sites[stay].absent))
        if start is not None:
            yield start + t.move


def _said(presses: Sequence[_Taking], hands: Sequence[Span]) -> str:
    """What is wrong with every cooling press."""
    words = [held for one in presses if (held := one.holds(hands))]
    out = [one.place for one in presses if not one.holds(hands)]
    if out:
        each = out[0] if len(out) == 1 else f"every one of {', '.join(out)}"
        words.append(f"{each} is out of order then")
    return " and ".join(words)


def _saved(presses: Sequence[_Taking], hands: Sequence[Span]) -> str:
    """What would make room for the mould."""
    ways = [
        f"make room for what is in {one.place}, a rack or stack and people to carry it there, write it"
        for one in presses
        if one.holds(hands)
    ]
    out = [one.place for one in presses if not one.holds(hands)]
    return " or ".join([*ways, *([f"get {' or '.join(out)} to work again, write it"] if out else [])])
