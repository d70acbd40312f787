"""Moulds that leave their hot press past their latest, since nothing takes them out sooner, or before the dwell that is
advised is over, since nothing takes them out later: by how much, and why."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.planning.problem.clock import Span, common, joined, less, starts_within
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.week import HOT, Sheet, Week
from flatstock.workshop.skill_words import trained

__all__ = ["overdue"]


def overdue(week: Week, schedule: Schedule) -> Iterator[str]:
    """One sentence a mould that is in a hot press now and is planned to leave it too late, or sooner than advised."""
    moment = week.clock.moment
    for sheet in week.sheets:
        inside, run = sheet.inside, schedule.runs.get(sheet.id)
        if inside is None or run is None:
            continue
        load, dwell, latest = inside.load, inside.dwell, inside.latest
        if dwell.advised is not None and run.transfer < load.end + dwell.advised:
            yield (
                f"{sheet.id} leaves {run.press} at {moment(run.transfer):%a %H:%M}, after {run.transfer - load.end} min"
                f" where {dwell.advised} are advised: nothing takes it out later. Its coldest point reaches the target"
                f" after {dwell.least} min by the heat model; look for flakes that have not melted, and call it good"
                " only then."
            )
        if latest is None or run.transfer <= latest:
            continue
        yield (
            f"{sheet.id} leaves {run.press} at {moment(run.transfer):%a %H:%M}, {run.transfer - latest} min past its"
            f" latest ({moment(latest):%a %H:%M}): {_why(week, schedule, sheet, run.press, latest)}."
        )


def _why(week: Week, schedule: Schedule, sheet: Sheet, press: str, latest: int) -> str:
    if latest < week.now:
        return "it was over that already"
    load = sheet.work("load")
    assert load is not None  # it is in the press
    soonest = max(week.now, load.end + sheet.kind.dwell[press].planned)
    window = [Span(soonest, latest + 1)]
    people = [one.at_hand for one in week.skilled(HOT)]
    pairs = starts_within(people, people=2, minutes=week.times.transfer, start=week.now, end=week.end)
    there = common(joined(Span(s.start, s.end + 1) for s in pairs), window)
    if not there:
        return f"fewer than two people {trained(HOT)} are there before"
    held = {
        cooler: [one for one in _held(week, schedule, sheet, cooler) if common([one[0]], there)]
        for cooler in sheet.kind.press_cool
    }
    if not any(less(there, [span for span, _ in spans]) for spans in held.values()):
        last = [max(spans, key=lambda one: one[0].end)[1] for spans in held.values() if spans]
        return " and ".join(last)
    then = [[words for span, words in spans if span.start <= latest < span.end] for spans in held.values()]
    return " and ".join(words[-1] for words in then) if all(then) else "hands are at other moulds until then"


def _held(week: Week, schedule: Schedule, sheet: Sheet, cooler: str) -> Iterator[tuple[Span, str]]:
    """When a cooling press takes no mould, and what is in the way."""
    for out in week.sites[cooler].absent:
        yield out, f"{cooler} is out of order"
    for other in schedule.runs.values():
        if other.cooling == cooler and other.sheet != sheet.id:
            gone = other.leave + (week.times.move if other.stay is not None else 0)
            until = week.clock.moment(gone)
            yield Span(other.transfer, gone), f"{cooler} holds {other.sheet} until {until:%H:%M}"
