"""What has changed in a week that is under way: absences, outages, and when heaters were on in fact."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from flatstock.planning.problem.clock import Span, joined, less
from flatstock.planning.problem.noted_here import with_noted
from flatstock.planning.problem.week import GivenUp, Sheet, Week
from flatstock.workshop.today import Platens, Today

__all__ = ["changed"]

BREAK = 60  #: minutes after a heated stay within which a mould that was loaded counts to it; our own figure


def changed(week: Week, plan: Mapping[str, Any], today: Today, given_up: Sequence[GivenUp]) -> Week:
    """Absences, outages, the hours that people in fact were there, and when each press was hot.

    `plan`: the one before; `given_up`: charges that done.csv says become no sheets.
    """
    clock = week.clock

    def span(start: datetime | None, end: datetime | None) -> Span:
        return Span(
            week.now if start is None else clock.minute(start),
            week.end + 1 if end is None else clock.minute(end, up=True),
        )

    gone = (one.sheet for one in given_up if not one.sheet.lost)
    begun = [sheet for sheet in (*week.sheets, *gone) if sheet.done]
    beyond = _all_out(week)
    people = []
    for person in week.people:
        away = [span(a.start, a.end) for a in today.absences if a.person == person.id]
        worked = [
            Span(w.start, w.end)
            for sheet in begun
            for w in (sheet.done.works if sheet.done else ())
            if person.id in w.people and w.end > w.start
        ]
        said = [one for one in today.said if one.person == person.id]
        # whoever worked was there, whatever was written
        here = tuple(joined([*less(with_noted(person.present, said, clock, beyond=beyond), away), *worked]))
        people.append(replace(person, present=here, away=tuple(less(person.present, here))))
    sites, absent = dict(week.sites), dict(week.absent)
    for outage in today.outages:
        if outage.elements is not None:
            continue  # it heats more slowly, as the forecasts know
        when = span(outage.start, outage.end)
        if outage.place in sites:
            site = sites[outage.place]
            sites[outage.place] = replace(site, absent=(*site.absent, when))
        else:
            absent[outage.place] = (*absent.get(outage.place, ()), when)
    ends = {one.sheet.id: one.since for one in given_up}
    hot = {
        press.id: tuple(
            _heated(
                week, press.id, plan, begun, ends, cold=press.id in today.cold, out=sites[press.id].absent
            )
        )
        for press in week.of_kind("hot_press")
    }
    warm_at = {}
    for one in today.platens:
        spans = tuple(_as_told(week, one, hot[one.press], begun))
        if one.ready is not None and spans == hot[one.press]:
            warm_at[one.press] = clock.minute(one.ready, up=True)
        hot[one.press] = spans
    return replace(week, people=tuple(people), sites=sites, absent=absent, hot=hot, warm_at=warm_at)


def _all_out(week: Week) -> int:
    """By when what is in hot presses now has to be out of them; now, where nothing is."""
    ends = [week.now]
    for sheet in week.sheets:
        inside = sheet.inside
        if inside is not None:
            longest = inside.dwell.planned if inside.dwell.latest is None else inside.dwell.latest
            ends.append(inside.load.end + longest + week.times.transfer)
    return max(ends)


def _heated(
    week: Week,
    press: str,
    plan: Mapping[str, Any],
    begun: Sequence[Sheet],
    ends: Mapping[str, int],
    *,
    cold: bool,
    out: Sequence[Span],
) -> list[Span]:
    """When its heaters were on, as the plan before had it and the moulds in it show; `ends`: given up when."""
    spans = list(_planned(week, press, plan))
    if cold:  # off before now: what ends now is on still, `Week.on_now`
        spans = [Span(s.start, min(s.end, week.now - 1)) for s in spans if s.start < week.now - 1]
    for one in out:
        if one.start <= week.now:
            spans = [Span(s.start, min(s.end, max(s.start, one.start))) for s in spans]
    for sheet in begun:
        load, gone = sheet.work("load"), sheet.work("transfer")
        if load is None or press not in load.places:
            continue
        end = week.now if gone is None else gone.end
        if gone is None and sheet.id in ends:  # its heaters went off then
            end = max(ends[sheet.id], load.end)
            spans = [Span(s.start, min(s.end, end)) if s.start < end else s for s in spans]
        if not any(s.holds(load.start, end) for s in spans):
            near = [s for s in spans if s.start <= load.start <= s.end + BREAK]
            warm = week.heat_up.get((press, sheet.kind.dwell[press].set_point), 0) + week.times.soak
            spans.append(Span(min([s.start for s in near] or [load.start - warm]), end))
    return [s for s in joined(spans) if s.start < week.now]


def _as_told(week: Week, told: Platens, spans: Sequence[Span], begun: Sequence[Sheet]) -> list[Span]:
    """When an empty press was heated, as its heaters were told: off now, or on for so long that it is ready when it
    is."""
    if told.set_point is None or told.ready is None:
        off = min(week.clock.minute(told.since), week.now - 1)
        return [Span(s.start, min(s.end, off)) for s in spans if s.start < off]
    ready = week.clock.minute(told.ready, up=True)
    warm = week.heat_up.get((told.press, told.set_point))
    if ready <= week.now or warm is None:
        return list(spans)
    since = min(ready - warm - week.times.soak, week.now - 1)
    out = [gone.end for sheet in begun if (gone := sheet.work("transfer")) and told.press in gone.places]
    if since <= max(out, default=since - 1):
        return list(spans)  # it has only cooled a little since: that it was cold then would be no fact
    before = [Span(s.start, min(s.end, since - 1)) for s in spans if s.start < since - 1]
    return [*before, Span(since, week.now)]


def _planned(week: Week, press: str, plan: Mapping[str, Any]) -> Iterator[Span]:
    since: int | None = None
    for setting in plan["settings"]:
        if setting["place"] != press:
            continue
        moment = week.clock.minute(datetime.fromisoformat(setting["start"]))
        if setting["kind"] == "heat_up":
            since = moment
        elif setting["kind"] == "off" and since is not None:
            yield Span(since, moment)
