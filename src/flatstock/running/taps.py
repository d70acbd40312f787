"""A tap judged: accepted, refused with why and what instead, or kept and asked about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import chain
from typing import Literal

from flatstock.errors import Fault
from flatstock.running.breach import Breach, never
from flatstock.running.event import Event
from flatstock.running.extract import extracted
from flatstock.running.kinds import incomplete, kinds
from flatstock.running.rules_lots import lots, set_points
from flatstock.running.rules_measured import measured
from flatstock.running.rules_people import hands, unattended
from flatstock.running.rules_places import (
    cold_platens,
    danger_first,
    heaters,
    leaves_in_time,
    moulds,
    places,
    too_early,
)
from flatstock.running.situation import Situation
from flatstock.running.standing import CORRECTING, standing
from flatstock.running.start_checks import started
from flatstock.running.words import clock

__all__ = ["LIVE", "UNDO", "TapAnswer", "breaches", "judge"]

UNDO = timedelta(seconds=10)  #: in which a tap is taken back; common practice, no source
SEEN = 0.005  #: kg; less off is as wanted, as masses are said to the hundredth
LIVE = timedelta(seconds=10)  #: a tap older than this when it arrives was queued: it has happened

_HOLDS = ("blocked", "quarantined")  #: struck out, they would free a lot that nobody has tested
_RULES = (
    danger_first, hands, unattended, started, extracted, lots, measured, set_points, heaters, moulds, places,
    leaves_in_time, too_early,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TapAnswer:
    """What becomes of a tap. Accepted and asked about are appended; refused is not."""

    outcome: Literal["accepted", "refused", "asks"]
    event: Event
    faults: tuple[Fault, ...] = ()  #: refused: why and what instead; asks: what is asked about
    say: tuple[str, ...] = ()  #: said beside an accepted tap

    @property
    def keep(self) -> bool:
        """Whether the event is to be appended."""
        return self.outcome != "refused"


def breaches(event: Event, now: Situation) -> list[Breach]:
    """Every rule that the event would break; `now` is how things stood just before it."""
    whole = [Breach(fault, hard=True) for fault in incomplete(event)]
    if event.kind not in kinds() or event.kind in CORRECTING:
        return whole
    return whole + list(chain.from_iterable(rule(event, now) for rule in _RULES))


def judge(event: Event, now: Situation) -> TapAnswer:
    """One tap. Told a second time it is accepted again and changes nothing: its id is known.

    Parameters
    ----------
    now : Situation
        As it stood when the event happened: for a tap told late, the situation of then.
    """
    known = now.known.get(event.id)
    if known is not None:
        if known == event:
            return TapAnswer(outcome="accepted", event=event, say=("known already",))
        fault = Fault("id", f"another event is called {event.id}", "make a new id on the device")
        return TapAnswer(outcome="refused", event=event, faults=(fault,))
    found = breaches(event, now)
    if event.kind in CORRECTING:
        found += list(_correcting(event, now))
    hard = [b.fault for b in found if b.hard]
    if hard or (found and not _told_late(event, now)):
        faults = tuple(dict.fromkeys(b.fault for b in found))
        return TapAnswer(outcome="refused", event=event, faults=faults)
    if found:
        return TapAnswer(outcome="asks", event=event, faults=tuple(dict.fromkeys(b.fault for b in found)))
    return TapAnswer(outcome="accepted", event=event, say=tuple(_say(event, now)))


def _told_late(event: Event, now: Situation) -> bool:
    return now.received - event.noted_at > LIVE


def _correcting(event: Event, now: Situation) -> Iterator[Breach]:
    """Undone within ten seconds, or where the event is asked about; struck out later by somebody who says why.

    A correction is judged in its event's place, by what it would break that the event did not.
    """
    target = now.known.get(event.corrects or "")
    if target is None:
        yield never("corrects", f"no event is called {event.corrects!r}", "name one that is on record")
        return
    asked = any(target.id in question.events for question in now.questions)
    if event.kind == "undone":
        if event.noted_at - target.noted_at <= UNDO or asked:
            return
        if target.kind in _HOLDS:
            yield never(
                target.sheet or "", "a lot that is held stays held", "release it, once its tests let you"
            )
        elif not (event.why and event.who):
            what = f"its ten seconds ended at {clock(target.noted_at + UNDO, now.zone)}"
            yield never(target.sheet or "", what, "correct it, and say why")
        return
    root = _first(target, now)
    before = {
        breach.fault
        for one in standing(now.known.values())
        if one.id == root.id
        for breach in breaches(one, now)
    }
    for one in standing([*now.known.values(), event]):
        if one.id == root.id:
            for breach in breaches(one, now):
                # what it was refused for before it was corrected is not asked again of where the mould is now
                if (breach.hard or breach.slip) and breach.fault not in before:
                    yield breach


def _first(event: Event, now: Situation) -> Event:
    """What a correction corrects in the end."""
    seen = {event.id}
    while event.kind in CORRECTING:
        above = now.known.get(event.corrects or "")
        if above is None or above.id in seen:
            break
        event = above
        seen.add(event.id)
    return event


def _say(event: Event, now: Situation) -> Iterator[str]:
    """What is worth hearing beside an accepted tap."""
    course = now.courses.get(event.sheet or "")
    track = now.tracks.get(event.sheet or "")
    if event.kind == "loaded" and cold_platens(event.where or "", now, event.at) is not None:
        yield "its platens are not ready: its dwell is reckoned from where they stand, the board says until when"
    if event.kind == "transferred" and track is not None and track.now is not None:
        if course is None:
            yield "no clock is known for it: cut a corner and look at the core before it is sold"
        elif course.latest is not None and event.at > course.latest:
            late = (event.at - course.latest).total_seconds() / 60
            yield f"{max(1.0, late):.0f} min later than the face bears: look for scorch, and cut a corner"
        if course is not None and any("heat was cut" in note for note in course.notes):
            yield "its heat failed on the way: the sheet is marked for a cut test"
        elif course is not None and any("laid in" in note for note in course.notes):
            yield "its platens were not at their set-point when it was laid in: the sheet is marked for a cut test"
    if event.kind == "set_aside":
        lots = ", ".join(sorted(track.weighed if track is not None else now.sheet(event.sheet or "").lots))
        yield f"into a closed bin marked {event.sheet}, {lots}, set aside: none of it goes back to a lot"
    if event.kind == "demoulded":
        yield "steel may still burn at a touch: gloves"
    if event.kind == "weighed":
        target = now.sheet(event.sheet or "").lots.get(str(event.facts.get("lot")))
        mass = event.facts.get("mass_kg")
        if target is not None and isinstance(mass, int | float) and abs(mass - target) >= SEEN:
            yield f"{abs(mass - target):.2f} kg {'over' if mass > target else 'short'}"
