"""Calling people: three minutes ahead, when it is due, when it is late, and when heaters are to be switched."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from flatstock.running.heater_calls import heater_calls
from flatstock.running.rules_people import HOT, TRAINED
from flatstock.running.situation import Situation
from flatstock.running.view import Call, MouldHere, PlaceHere, ToDo
from flatstock.running.words import clock, minute_up, named

__all__ = ["EARLY", "calls_of"]

EARLY = timedelta(minutes=3)  #: the call comes this long ahead; common practice, no source
WATCH = timedelta(minutes=15)  #: how long ahead heaters say that nobody will watch them; our own figure
_FIRST = ("danger", "unattended", "late", "due", "early")


def calls_of(places: Sequence[PlaceHere], to_do: Sequence[ToDo], now: Situation) -> list[Call]:
    """Every call that is on, the most pressing first. While a danger is on, it is the only one."""
    if now.on is not None:
        on = now.on
        return [
            Call(
                id=f"danger {on.event}",
                kind="danger",
                at=on.since,
                words=on.say.headline,
                people=0,
                place=on.place,
            )
        ]
    found = [*_unattended(now)]
    for place in places:
        for mould in place.moulds:
            found += _mould(mould, place)
            found += _finish(mould, place, now)
    found += _loads(to_do, now)
    if not any(call.kind == "unattended" for call in found):
        found += heater_calls(now, early=EARLY)
    return sorted(found, key=lambda call: (_FIRST.index(call.kind), call.at, call.id))


def _mould(mould: MouldHere, place: PlaceHere) -> Iterator[Call]:
    step = mould.next
    if mould.counts_to is None or (place.kind in ("stack", "rack") and mould.state != "late"):
        return  # what is ready in a stack stands on the demould list; it calls nobody
    people = f"{step.people} {'person' if step.people == 1 else 'people'}"
    if mould.state == "call":
        left = -(-mould.left.total_seconds() // 60) if mould.left is not None else 0
        words = f"{step.words} in {left:.0f} min: {people}"
        yield Call(id=f"early {mould.sheet} {step.kind}", kind="early", at=mould.counts_to, words=words,
                   people=step.people, sheet=mould.sheet, place=place.id)  # fmt: skip
    elif mould.state in ("act", "late"):
        # what is late says what happens; what stands in the way comes first: nobody is called to a refused step
        more = ""
        if mould.state == "late" and mould.consequence:  # a reason ends its own sentence
            after = mould.consequence
            more = f"; {after}" if step.permitted else f" {after[0].upper()}{after[1:]}"
        call = (
            f"{step.words} now: {people}"
            if step.permitted
            else f"{step.words} waits: {step.why_not[0].sentence()}"
        )
        words = f"{call}{more}"
        yield Call(id=f"{mould.state} {mould.sheet} {step.kind}", kind="late" if mould.state == "late" else "due",
                   at=mould.counts_to, words=words, people=step.people, sheet=mould.sheet, place=place.id)  # fmt: skip


def _finish(mould: MouldHere, place: PlaceHere, now: Situation) -> Iterator[Call]:
    """Breathing and full pressure at the end of a dwell, until somebody has told the breathing or the dwell is over."""
    course = now.courses.get(mould.sheet)
    due = mould.counts_to
    begins = None if course is None or due is None else course.finish_from(due)
    if course is None or course.finish is None or due is None or begins is None:
        return
    if not begins <= now.now < due:
        return
    told = (
        begins if course.whole else mould.since
    )  # what was breathed before a cut is breathed again after it
    if any(e.kind == "breathed" and e.sheet == mould.sheet and e.at >= told for e in now.events):
        return
    yield Call(id=f"finish {mould.sheet}", kind="due", at=due - course.finish.before,
               words=f"{mould.sheet} in {place.id}: {course.finish.words} now: 1 person, face shield", people=1,
               sheet=mould.sheet, place=place.id)  # fmt: skip


def _loads(to_do: Sequence[ToDo], now: Situation) -> Iterator[Call]:
    """The next mould of each hot press that may be loaded takes two people as well."""
    called: set[str] = set()
    for one in sorted(to_do, key=lambda one: (one.next.due is None, one.next.due, one.sheet)):
        step = one.next
        press = step.to[0] if step.to else ""
        if step.kind != "loaded" or step.due is None or not step.permitted or press in called:
            continue
        heats = now.warming.get(press)
        if heats is not None and heats.ready is None:
            continue
        due = step.due if heats is None or heats.ready is None else max(step.due, minute_up(heats.ready))
        if due - now.now > EARLY:
            continue
        called.add(press)
        early = due > now.now
        words = f"{step.words} {f'at {clock(due, now.zone)}' if early else 'now'}: {step.people} people"
        yield Call(id=f"{'early' if early else 'due'} {one.sheet} loaded", kind="early" if early else "due", at=due,
                   words=words, people=step.people, sheet=one.sheet)  # fmt: skip


def _unattended(now: Situation) -> Iterator[Call]:
    hot = [press for press, heat in now.heats.items() if heat.on]
    if not hot:
        return
    alone = now.people.next_without(HOT, after=now.now, within=WATCH)
    if alone is None:
        return
    if alone <= now.now:
        words = f"Switch {named(hot)} off at the isolator: heaters are on, nobody {TRAINED} is here"
    else:
        words = (
            f"Heaters of {named(hot)} off before {clock(alone, now.zone)}: nobody {TRAINED} is here from then"
        )
    yield Call(
        id=f"unattended {alone.isoformat()}", kind="unattended", at=alone, words=words, people=1, place=hot[0]
    )
