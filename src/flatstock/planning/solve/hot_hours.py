"""When a mould may be in a hot press: platens hot, and two people there to load it and to take it out."""

from __future__ import annotations

from flatstock.planning.problem.clock import Span, common, counted, joined
from flatstock.planning.problem.week import HOT, Week

__all__ = ["hot_hours"]


def hot_hours(week: Week, stay: Span) -> list[Span]:
    """Of a supervised stay the spans within which any mould that is loaded from now on stays in its press.

    It is loaded and taken out by two people with `hot_transfer`, so no mould is in a press while fewer are there but
    for a break that is no longer than the latest dwell of some kind; such breaks are left in. Before it the platens
    heat up; what is under way may be hot already.
    """
    begin = stay.start + min(week.heat_up.values(), default=0) + week.times.soak
    if stay.start < week.now:
        begin = week.now
    if begin >= stay.end:
        return []
    pieces = counted([one.at_hand for one in week.skilled(HOT)], start=begin, end=stay.end)
    pairs = [span for span, there in pieces if there >= 2]
    longest = _longest_dwell(week)
    breaks = [
        Span(one.end, other.start)
        for one, other in zip(joined(pairs), joined(pairs)[1:], strict=False)
        if longest is None or other.start - one.end <= longest
    ]
    return common(joined([*pairs, *breaks]), [stay])


def _longest_dwell(week: Week) -> int | None:
    """None: some kind may stay for as long as may be."""
    waiting = [sheet for sheet in week.sheets if sheet.work("load") is None]
    latest = [dwell.latest for sheet in waiting for dwell in sheet.kind.dwell.values()]
    known = [minutes for minutes in latest if minutes is not None]
    return max(known, default=0) if len(known) == len(latest) else None
