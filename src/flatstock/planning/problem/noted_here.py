"""Who is in the shop beside their hours: noted as come before them or after them, or as gone before they end."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time, timedelta

from flatstock.planning.problem.clock import Clock, Span, joined, less
from flatstock.workshop.today import Here

__all__ = ["with_noted"]


def with_noted(hours: Sequence[Span], said: Sequence[Here], clock: Clock, *, beyond: int) -> list[Span]:
    """The hours of one person with what was noted of them.

    A word counts until the next one, or until their hours next say something else, as on the run board. Whoever came
    when no hours of theirs follow that day is here up to the minute `beyond`: for what is under way, for nothing new.
    """
    here, gone = [], []
    changes = sorted({edge for span in joined(hours) for edge in (span.start, span.end)})
    for n, one in enumerate(said):
        start = clock.minute(one.at)
        ends = [edge for edge in changes if edge > start]
        night = clock.minute(_midnight(one.at, clock))
        end = min([*ends[:1], night, *(clock.minute(later.at) for later in said[n + 1 : n + 2])])
        if not one.here:
            gone.append(Span(start, end))
        elif end == night:
            here.append(Span(start, max(start, min(end, beyond))))
        else:
            here.append(Span(start, end))
    return joined([*less(joined(hours), gone), *here])


def _midnight(at: datetime, clock: Clock) -> datetime:
    """The end of the day on the shop's clock."""
    day = at.astimezone(clock.zone).date() + timedelta(days=1)
    return datetime.combine(day, time(), clock.zone)
