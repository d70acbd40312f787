"""What is out of order, or away, to the very end of a plan, so that a sheet can't be pressed however it is turned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from flatstock.planning.problem.clock import Span, starts_within
from flatstock.planning.problem.too_much import too_much_for_any
from flatstock.planning.problem.week import HOT, Sheet, Week
from flatstock.workshop.skill_words import trained

__all__ = ["gone_for_good"]


def gone_for_good(week: Week, sheet: Sheet) -> Iterator[str]:
    """Each in words: presses and moulds of which none is left for this sheet, people of whom too few are, a supply that
    bears no sheet at all."""
    kind = sheet.kind
    if words := too_much_for_any(week):
        yield words
    for what, places in (("hot press", kind.dwell), ("cooling press", kind.press_cool)):
        out = [place for place in places if _to_the_end(week, week.sites[place].absent)]
        if places and len(out) == len(places):
            yield _out(out, f"every {what} for it")
    for what, things in ((f"{kind.thickness:g} mm frame", kind.frames), ("pair of skins", kind.skins)):
        out = [thing for thing in things if _to_the_end(week, week.absent.get(thing, ()))]
        if things and len(out) == len(things):
            yield _out(out, f"every {what} for it")
    people = [one.present for one in week.skilled(HOT)]
    if not starts_within(people, people=2, minutes=week.times.load, start=week.now, end=week.end):
        yield f"no two people {trained(HOT)} are there at once any more"


def _to_the_end(week: Week, absent: Sequence[Span]) -> bool:
    return any(span.end > week.end for span in absent)


def _out(names: Sequence[str], all_of_them: str) -> str:
    return f"{names[0] if len(names) == 1 else all_of_them} is out of order to the end of the plan"
