"""Charges that become no sheet: where their moulds stand until they are cold, and what is pressed instead."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from itertools import count
from typing import Any

from flatstock.planning.problem.clock import Span, starts_within
from flatstock.planning.problem.stranded import Stranded
from flatstock.planning.problem.too_much import too_much_for_any
from flatstock.planning.problem.week import Done, GivenUp, Person, Sheet, Site, Week
from flatstock.workshop.today import Happened

__all__ = ["hopeless", "lost", "numbered", "taken_out", "with_figures", "written"]


def written(week: Week, sheet: Sheet, row: Happened, figures: Mapping[str, Any]) -> GivenUp:
    """As done.csv has it. Without an end its mould is where it was: in a hot press, or cooling on (`Sheet.lost`).
    What was in no press yet counts as emptied.

    `figures`: what the plan before said of the sheet.
    """
    sheet = with_figures(sheet, figures)
    since = week.clock.minute(row.start)
    load, gone, opened = (sheet.work(step) for step in ("load", "transfer", "demould"))
    inside = row.end is None
    hot = load is not None and gone is None and inside
    press = next((p for p in load.places if p in sheet.kind.dwell), None) if load and hot else None
    if inside and gone is not None and (opened is None or opened.end > week.now):
        sheet = replace(sheet, lost=True, due=None, condition=0, promised=None)
    return GivenUp(
        sheet=sheet, since=since, press=press, written=True,
        because=f"it was given up at {week.clock.moment(since):%a %H:%M}",
    )  # fmt: skip


def with_figures(sheet: Sheet, figures: Mapping[str, Any]) -> Sheet:
    """The sheet with what the plan before said of it, though nothing with hands was done to it."""
    if sheet.done is not None:
        return sheet
    return replace(
        sheet, done=Done(works=(), frame=figures["frame"], skins=figures["skins"], figures=figures)
    )


def lost(week: Week, one: Stranded) -> GivenUp:
    """A mould that nobody can take out in time: heaters off at once, unless somebody is called."""
    return GivenUp(
        sheet=one.sheet,
        since=week.now,
        press=one.press,
        written=False,
        because=one.why(week),
        call=one.call(),
        call_by=one.call_by,
    )


def hopeless(week: Week, sheet: Sheet) -> GivenUp:
    """A mould for which there are hands and a cooling press, and yet no plan with everything else that has begun."""
    press = None if sheet.inside is None else sheet.inside.press
    why = too_much_for_any(week) or (
        "hands, cooling presses and the places of what is in them are needed by other moulds that have begun"
    )
    return GivenUp(
        sheet=sheet, since=week.now, press=press, written=False,
        because=f"no plan was found in which it leaves {press} in time: {why}",
    )  # fmt: skip


def numbered(
    listed: Sequence[Sheet],
    begun: Mapping[str, Sheet],
    given_up: Sequence[GivenUp],
    aside: Collection[str] = (),
) -> tuple[list[Sheet], dict[str, str]]:
    """An order's sheets: those begun, and as many others as it still needs, by the numbers that are free.

    A charge given up, or put aside, keeps its number, so that what was noted of it stays its own. Also by which sheet
    each that is given up is made up for.
    """
    gone = {one.sheet.id for one in given_up} | set(aside)
    orders: dict[str, list[Sheet]] = {}
    for sheet in listed:
        orders.setdefault(sheet.order, []).append(sheet)
    sheets = list(begun.values())
    instead: dict[str, str] = {}
    for order, own in orders.items():
        names = (f"{order}-{number:02d}" for number in count(1))
        wanted = len(own) - sum(sheet.order == order for sheet in begun.values())
        while wanted > 0:
            name = next(names)
            if name not in gone and name not in begun:
                sheets.append(replace(own[0], id=name))
                wanted -= 1
        lost_ones = sorted((one.since, one.sheet.id) for one in given_up if one.sheet.order == order)
        known = {sheet.id for sheet in own}
        more = sorted(sheet.id for sheet in sheets if sheet.order == order and sheet.id not in known)
        instead |= dict(zip([name for _, name in lost_ones], more, strict=False))
    return sorted(sheets, key=lambda sheet: sheet.id), instead


def taken_out(week: Week, cools: Callable[[Sheet, str, int], int | None]) -> Week:
    """The week with every mould that is given up in a hot press taken out once it is cold: until then neither its
    press nor its frame and skins are anybody's, and whoever takes it out is busy then, with the lift or bench that it
    takes."""
    sites, hot, absent = dict(week.sites), dict(week.hot), dict(week.absent)
    people, found = list(week.people), []
    for one in week.given_up:
        press, load = one.press, one.sheet.work("load")
        if press is None or load is None or one.sheet.done is None:
            found.append(one)
            continue
        cooling = cools(one.sheet, press, max(0, one.since - load.end))
        cold = None if cooling is None else one.since + cooling
        out, who = (None, ()) if cold is None else _hands(week, people, one.sheet, max(cold, week.now))
        people = [replace(p, busy=(*p.busy, out)) if out and p.id in who else p for p in people]
        where = "" if out is None else _opened_on(week, sites, one.sheet, out)
        if out is not None and where:
            sites[where] = replace(sites[where], absent=(*sites[where].absent, out))
        found.append(replace(one, cold=cold, out=out, people=who, places=(where,) if where else ()))
        gone = Span(week.now, found[-1].free_from(week))
        sites[press] = replace(sites[press], absent=(*sites[press].absent, gone))
        before = hot.get(press, ())
        hot[press] = tuple(Span(s.start, min(s.end, one.since)) for s in before if s.start < one.since)
        for thing in (one.sheet.done.frame, one.sheet.done.skins):
            absent[thing] = (*absent.get(thing, ()), gone)
    return replace(week, sites=sites, hot=hot, absent=absent, people=tuple(people), given_up=tuple(found))


def _hands(
    week: Week, people: Sequence[Person], sheet: Sheet, since: int
) -> tuple[Span | None, tuple[str, ...]]:
    """The first minutes in which enough people are there to take a cold mould out and open it, and who: the least
    skilled of them."""
    number = 1 if week.lift_for(sheet.kind.mould_mass) else 2
    minutes = week.times.move + week.times.demould
    free = starts_within(
        [one.at_hand for one in people], people=number, minutes=minutes, start=since, end=week.end
    )
    if not free:
        return None, ()
    out = Span(free[0].start, free[0].start + minutes)
    able = [one for one in people if any(s.holds(out.start, out.end) for s in one.at_hand)]
    able.sort(key=lambda one: (len(one.skills), one.id))
    return out, tuple(sorted(one.id for one in able[:number]))


def _opened_on(week: Week, sites: Mapping[str, Site], sheet: Sheet, out: Span) -> str:
    """The lift that bears a mould, else a bench that works then; empty: there is none."""
    lift = week.lift_for(sheet.kind.mould_mass)
    if lift is not None:
        return lift.id
    works = [
        site.id
        for site in sites.values()
        if site.kind == "bench" and not any(s.start < out.end and out.start < s.end for s in site.absent)
    ]
    return max(works, default="")  # a mould is prepared on the first that is free
