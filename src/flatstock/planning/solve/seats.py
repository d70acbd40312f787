"""Which bench or saw of several alike each sheet gets: the first that is free; the model counts them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["seated"]


@dataclass(frozen=True, slots=True, order=True)
class _Wish:
    chosen: bool  #: False sorts first: where something is already
    start: int
    end: int
    sheet: str
    field: str
    kind: str
    place: str = ""


def seated(week: Week, runs: Mapping[str, Run]) -> dict[str, Run]:
    """The same runs with every place named; what has begun stays where it is."""
    sheets = {sheet.id: sheet for sheet in week.sheets}
    wishes = sorted(wish for run in runs.values() for wish in _wishes(week, sheets[run.sheet], run))
    seats: dict[str, dict[str, Any]] = {name: {} for name in runs}
    held: dict[str, list[int]] = {}
    for wish in wishes:
        place = wish.place or min(_free(week, wish, held))
        held.setdefault(place, []).append(wish.end)
        seats[wish.sheet][wish.field] = place
    return {name: replace(run, **seats[name]) for name, run in runs.items()}


def _wishes(week: Week, sheet: Sheet, run: Run) -> Iterator[_Wish]:
    t = week.times

    def wish(field: str, kind: str, step: str, start: int, end: int) -> _Wish:
        fact = sheet.work(step)
        place = next((p for p in (fact.places if fact else ()) if week.sites[p].kind == kind), "")
        return _Wish(place == "", start, end, sheet.id, field, kind, place)

    yield wish("bench", "bench", "prepare", run.prepare, run.load + t.load)
    if not run.demould_at:
        yield wish("demould_at", "bench", "demould", run.demould, run.demould + t.demould)
    if run.trim is not None:
        yield wish("saw", "saw", "trim", run.trim, run.trim + t.trim)


def _free(week: Week, wish: _Wish, held: Mapping[str, list[int]]) -> Iterator[str]:
    for site in week.of_kind(wish.kind):
        taken = sum(moment > wish.start for moment in held.get(site.id, ()))
        out = any(span.start < wish.end and wish.start < span.end for span in site.absent)
        if taken < site.capacity and not out:
            yield site.id
