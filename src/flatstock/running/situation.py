"""Everything that is known at one instant, folded from the events once; the floor and every tap are judged by it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from typing import Any, Literal, cast

from flatstock.errors import Fault
from flatstock.running.courses import Clocks, Course, Warming
from flatstock.running.danger import Danger, Heat, dangers, heats
from flatstock.running.event import Event
from flatstock.running.people import Attendance
from flatstock.running.sheets import Planned, Setting, planned, settings_of
from flatstock.running.silence import Silence, unexplained
from flatstock.running.standing import once, standing
from flatstock.running.stays import Question, Stay, Track, make_room, questions_between, tracks
from flatstock.running.supply_cuts import Calm, calms_of
from flatstock.workshop.shop import Workshop

__all__ = ["LotFaults", "Situation", "situation"]

#: why a lot of this shop must not be used; empty: nothing forbids it
LotFaults = Callable[[Workshop, str], Sequence[Fault]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What is known at `now`."""

    now: datetime
    received: datetime  #: when a tap that is judged by it came in; else `now`
    zone: tzinfo
    shop: Workshop  #: its lots with the status that events have given them
    known: Mapping[str, Event]  #: every event by id, corrections and what they struck out too
    events: tuple[Event, ...]  #: those that stand, up to now
    sheets: Mapping[str, Planned]
    settings: tuple[Setting, ...]  #: of the hot presses' heaters, as planned
    tracks: Mapping[str, Track]
    heats: Mapping[str, Heat]
    dangers: tuple[Danger, ...]
    people: Attendance
    calms: tuple[Calm, ...]  #: in which no fan blew, since the supply had failed
    courses: Mapping[str, Course]
    warming: Mapping[str, Warming]  #: by hot press
    questions: tuple[Question, ...]
    silences: tuple[Silence, ...]  #: in which nobody has said yet what a loaded press's heat did
    lot_faults: LotFaults

    def kind_of(self, place: str | None) -> str | None:
        """What a place is; None: no such place."""
        shop = self.shop
        for kind, places in (
            ("hot_press", shop.hot_presses),
            ("cooling_press", shop.cooling_presses),
            ("stack", shop.stacks),
            ("rack", shop.racks),
        ):
            if place in places:
                return kind
        if place is not None and place in shop.places:
            return shop.places[place].kind
        return "scale" if any(scale.id == place for scale in shop.scales) else None

    def inside(self, place: str) -> list[Stay]:
        """Stays in a place now, the one that came first at the bottom."""
        found = [t.now for t in self.tracks.values() if t.now is not None and t.now.place == place]
        return sorted((s for s in found if s is not None), key=lambda stay: (stay.since, stay.sheet))

    def inside_hot(self) -> list[Stay]:
        """What is in the hot presses, the one that came first first."""
        found = [t.now for t in self.tracks.values() if t.now is not None and t.now.hot]
        return sorted((s for s in found if s is not None), key=lambda stay: (stay.since, stay.sheet))

    def sheet(self, name: str) -> Planned:
        """What is planned of a sheet; one that no plan knows is only its name."""
        return self.sheets.get(name) or Planned(id=name)

    def mould_mass(self, name: str) -> float | None:
        """Of a sheet's mould with its charge [kg]; None: not known."""
        return self.sheet(name).mould_mass

    def with_status(self, lot: str, status: str) -> Workshop:
        """The shop with another status of one lot."""
        return _with_status(self.shop, {lot: status})

    @property
    def on(self) -> Danger | None:
        """The danger that is on: an accident before smoke before a power cut."""
        live = [d for d in self.dangers if d.over is None]
        return min(live, key=lambda d: (_FIRST.index(d.kind), d.since), default=None)


_FIRST = ("accident", "smoke", "power_cut")

#: status that an event gives a lot
_GIVEN = {"blocked": "blocked", "released": "released", "quarantined": "quarantine", "emptied": "empty"}


def situation(
    events: Iterable[Event],
    *,
    plan: Mapping[str, Any] | None,
    shop: Workshop,
    zone: tzinfo,
    clocks: Clocks,
    lot_faults: LotFaults,
    now: datetime,
    received: datetime | None = None,
    silences: Iterable[Silence] = (),
) -> Situation:
    """Fold the events up to `now`; the same set of events gives the same answer in whatever order they came."""
    known = once(events)
    stand = tuple(event for event in standing(known.values()) if event.at <= now)
    found = tracks(stand, zone)
    single = (*shop.hot_presses, *shop.cooling_presses)
    make_room(found, single)
    sheets = planned(plan)
    hot = heats(stand, tuple(shop.hot_presses), now=now)
    stays = sorted(
        (stay for track in found.values() for stay in track.stays), key=lambda s: (s.since, s.sheet, s.place)
    )
    loaded = {stay.place: stay.since for stay in stays if stay.hot and stay.until is None}
    status = {str(e.facts.get("lot")): _GIVEN[e.kind] for e in stand if e.kind in _GIVEN}
    asked = [q for track in found.values() for q in track.questions]
    calms = calms_of(stand, now)
    return Situation(
        now=now,
        received=received or now,
        zone=zone,
        shop=shop if shop.form == "records" else _with_status(shop, status),  # records have it already
        known=known,
        events=stand,
        sheets=sheets,
        settings=settings_of(plan),
        tracks=found,
        heats=hot,
        dangers=tuple(dangers(stand, loaded=loaded, now=now)),
        people=Attendance.of(shop, zone, stand),
        calms=calms,
        courses=clocks.courses(stays, sheets, hot, now=now, calms=calms),
        warming=clocks.warming(stays, hot, now=now),
        questions=tuple(
            sorted((*asked, *questions_between(found, single, zone)), key=lambda q: (q.sheet or "", q.id))
        ),
        silences=unexplained(
            silences, stand, [stay for stay in stays if stay.hot and stay.until is None], hot
        ),
        lot_faults=lot_faults,
    )


def _with_status(shop: Workshop, status: Mapping[str, str]) -> Workshop:
    lots = {
        name: replace(lot, status=cast("Literal['blocked', 'released']", status[name]))
        if name in status
        else lot
        for name, lot in shop.lots.items()
    }
    return replace(shop, lots=lots)
