"""Where each mould is and has been, from the events that stand; what can't be so, as questions that keep both."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, tzinfo
from typing import Literal

from flatstock.running.event import Event
from flatstock.running.words import clock

__all__ = ["SAME", "Question", "Stage", "Stay", "Track", "make_room", "questions_between", "tracks"]

Stage = Literal["planned", "weighed", "prepared", "hot", "cooling", "demoulded", "trimmed", "scrapped"]
SAME = timedelta(seconds=10)  #: two tellings of one step closer than this are one happening

#: events that change where a mould is, and the stage after them
_AFTER: dict[str, Stage] = {
    "weighed": "weighed",
    "prepared": "prepared",
    "loaded": "hot",
    "transferred": "cooling",
    "moved": "cooling",
    "demoulded": "demoulded",
    "trimmed": "trimmed",
    "scrapped": "scrapped",
}
_ORDER: tuple[Stage, ...] = (
    "planned",
    "weighed",
    "prepared",
    "hot",
    "cooling",
    "demoulded",
    "trimmed",
    "scrapped",
)
#: the stage that must have been reached before
_NEEDS: dict[str, Stage] = {
    "transferred": "hot",
    "moved": "cooling",
    "demoulded": "cooling",
    "trimmed": "demoulded",
    "measured": "demoulded",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A mould in one place. `since` is the late one where two were told: what waits acts on it."""

    sheet: str
    place: str
    hot: bool
    since: datetime
    since_early: datetime
    until: datetime | None = None
    by: tuple[str, ...] = ()  #: ids of the events that say so


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something that two events say differently, or that one says without what must come before it."""

    id: str  #: made from the events', so that every device asks the same
    sheet: str | None
    what: str
    events: tuple[str, ...]  #: that are asked about; taking one back or correcting it answers
    #: held: a weighing told after its lot was held; that its charge was found, or its sheet given up, answers too
    about: Literal["tellings", "held"] = "tellings"


@dataclass(slots=True)
class Track:
    """One sheet's way so far."""

    sheet: str
    zone: tzinfo
    stage: Stage = "planned"
    stays: list[Stay] = field(default_factory=list)
    done: list[Event] = field(default_factory=list)
    frame: str | None = None
    skins: str | None = None
    weighed: dict[str, float] = field(default_factory=dict)  #: lot to kg
    questions: list[Question] = field(default_factory=list)

    @property
    def now(self) -> Stay | None:
        """Where the mould is; None: nowhere that heats or cools."""
        return self.stays[-1] if self.stays and self.stays[-1].until is None else None

    @property
    def stands(self) -> Stage:
        """How its mould stands: one that was given up while it cools is cooling until it is taken out."""
        return "cooling" if self.stage == "scrapped" and self.now is not None else self.stage

    def last(self, kind: str) -> Event | None:
        """The last event of a kind."""
        return next((e for e in reversed(self.done) if e.kind == kind), None)


def tracks(events: Iterable[Event], zone: tzinfo) -> dict[str, Track]:
    """The way of every sheet that an event names; `events` as `standing` gives them, `zone` for the questions."""
    found: dict[str, Track] = {}
    for event in events:
        if event.sheet is not None:
            _take(found.setdefault(event.sheet, Track(event.sheet, zone)), event)
    return found


def _take(track: Track, event: Event) -> None:
    track.done.append(event)
    if event.kind in ("note", "scrapped"):
        _held(track, event)
    if event.kind == "weighed":
        lot, mass = event.facts.get("lot"), event.facts.get("mass_kg")
        if isinstance(lot, str) and isinstance(mass, int | float):
            track.weighed[lot] = float(mass)
    if event.kind == "prepared":
        track.frame, track.skins = _text(event, "frame"), _text(event, "skins")
    if event.kind == "set_aside" and track.stage == "prepared":
        track.stage = "weighed" if track.weighed else "planned"
        track.frame = track.skins = None
    after = _AFTER.get(event.kind)
    if after is None:
        return
    before = _NEEDS.get(event.kind)
    if before is not None and _ORDER.index(track.stage) < _ORDER.index(before):
        _ask(track, (event.id,), f"{track.sheet} was {event.kind} at {clock(event.at, track.zone)}, nobody noted what"
             f" comes before: it was {track.stage}")  # fmt: skip
    if event.kind in ("loaded", "transferred", "moved"):
        _stand(track, event)
    elif event.kind == "demoulded" or (event.kind == "scrapped" and (track.now is None or track.now.hot)):
        _leave(track, event.at)  # what is given up while it cools stands there still, as hot as before
    if event.kind == "scrapped" or _ORDER.index(after) > _ORDER.index(track.stage):
        track.stage = after


def _held(track: Track, event: Event) -> None:
    """A weighing that was told after its lot was held asks where its charge is, until somebody has found it."""
    if event.facts.get("about") == "weighed":
        lot, mass = event.facts.get("lot"), event.facts.get("mass_kg")
        much = f"{mass:g} kg" if isinstance(mass, int | float) else "some"
        what = f"{much} of {lot} was weighed for {track.sheet} at {clock(event.at, track.zone)} and told only after"
        track.questions.append(
            Question(id=event.id, sheet=track.sheet, what=f"{what} {lot} was held: where is that charge?",
                     events=(event.id,), about="held")
        )  # fmt: skip
        return
    found = event.facts.get("answers")
    track.questions = [
        one for one in track.questions
        if one.about != "held" or (event.kind == "note" and one.id != found)
    ]  # fmt: skip


def _stand(track: Track, event: Event) -> None:
    """A mould enters a place; told twice, both count: the late one for waiting, the early one for the limit."""
    place, hot, now = event.where, event.kind == "loaded", track.now
    if place is None:
        return
    given_up = track.stands == "cooling" and event.kind == "moved"  # it may be carried on all the same
    if track.stage in ("demoulded", "trimmed", "scrapped") and not given_up:
        _ask(
            track,
            (event.id,),
            f"{track.sheet} was {event.kind} at {clock(event.at, track.zone)}, after it had been {track.stage}",
        )
        return
    twice = now is not None and now.hot == hot and event.kind != "moved"
    again = now is not None and event.kind == "moved" and now.place == place
    if hot and now is not None and not now.hot:
        _ask(
            track,
            (*now.by, event.id),
            f"{track.sheet} was loaded at {clock(event.at, track.zone)}, after it had left the hot press",
        )
        return
    if now is not None and (twice or again):
        if now.place != place or event.at - now.since > SAME:
            at = f"{clock(now.since, track.zone)} and {clock(event.at, track.zone)}"
            where = place if now.place == place else f"{now.place} or {place}"
            _ask(track, (*now.by, event.id), f"{track.sheet} was {event.kind} twice, into {where}: at {at}")
        track.stays[-1] = Stay(
            sheet=track.sheet,
            place=place,
            hot=hot,
            since=event.at,
            since_early=now.since_early,
            by=(*now.by, event.id),
        )
        return
    _leave(track, event.at)
    track.stays.append(
        Stay(sheet=track.sheet, place=place, hot=hot, since=event.at, since_early=event.at, by=(event.id,))
    )


def _leave(track: Track, at: datetime) -> None:
    now = track.now
    if now is not None:
        track.stays[-1] = Stay(
            sheet=now.sheet, place=now.place, hot=now.hot, since=now.since, since_early=now.since_early,
            until=at, by=now.by,
        )  # fmt: skip


def _ask(track: Track, events: tuple[str, ...], what: str) -> None:
    track.questions.append(Question(id="+".join(events), sheet=track.sheet, what=what, events=events))


def _text(event: Event, name: str) -> str | None:
    fact = event.facts.get(name)
    return fact if isinstance(fact, str) else None


def make_room(found: dict[str, Track], single: Sequence[str]) -> None:
    """Another mould in its press says that one which was given up there was taken out before; `single`: as below."""
    for track in found.values():
        here, gone = track.now, track.last("scrapped")
        if here is None or gone is None or here.place not in single:
            continue
        later = [
            stay.since
            for other in found.values()
            for stay in other.stays
            if other is not track and stay.place == here.place and stay.since > gone.at
        ]
        if later:
            _leave(track, min(later))


def questions_between(found: dict[str, Track], single: Sequence[str], zone: tzinfo) -> list[Question]:
    """Two moulds that the events put into one press at once; `single`: places that hold one mould."""
    asked = []
    stays = sorted(
        (stay for track in found.values() for stay in track.stays if stay.place in single),
        key=lambda stay: (stay.place, stay.since, stay.sheet),
    )
    for i, one in enumerate(stays):
        for other in stays[i + 1 :]:
            if other.place != one.place or (one.until is not None and other.since >= one.until):
                continue
            if one.sheet != other.sheet:
                asked.append(
                    Question(
                        id="+".join((*one.by, *other.by)),
                        sheet=other.sheet,
                        what=f"{one.sheet} and {other.sheet} are both said to be in {one.place}"
                        f" since {clock(one.since, zone)} and {clock(other.since, zone)}",
                        events=(*one.by, *other.by),
                    )
                )
    return asked
