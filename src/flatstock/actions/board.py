"""The run board of a workshop: what stands where, and what becomes of a tap; the records keep it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from flatstock.actions.heat_clocks import HeatClocks
from flatstock.actions.lot_tests import not_yet
from flatstock.actions.putting_right import around
from flatstock.actions.recipes import recipe_in_force
from flatstock.actions.told_after import KEPT, note_of
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault
from flatstock.pressing.lot_rules import unfit_lot
from flatstock.pressing.setting import plastics_of
from flatstock.records.failing import Broken
from flatstock.records.sheet_events import events_of_sheet
from flatstock.records.sheets import Frozen, Recipe, frozen_of, orders_of
from flatstock.records.store import Store, open_store
from flatstock.running.courses import Clocks, PlanClocks
from flatstock.running.event import Event
from flatstock.running.floor import floor_of
from flatstock.running.lately import lately
from flatstock.running.silence import Silence
from flatstock.running.situation import Situation, situation
from flatstock.running.taps import TapAnswer, judge
from flatstock.running.view import Floor
from flatstock.workshop.shop import Workshop

__all__ = ["Board", "Event", "Floor", "TapAnswer", "lot_faults", "open_board"]

Plan = Mapping[str, Any] | None
LOOKED_BACK = timedelta(days=14)  #: no mould stands in a press or a stack for longer
TOLD_LATE = timedelta(hours=1)  #: after which a tap is judged by all that is known of the fortnight
KEPT_LONGER = timedelta(days=1)  #: a server that runs for weeks forgets a day at a time


def lot_faults(shop: Workshop, name: str) -> Sequence[Fault]:
    """Why a lot must not be used; empty: nothing forbids it."""
    lot = shop.lots[name]
    plastic = plastics_of(shop).get(lot.plastic)
    faults = unfit_lot(shop, plastic, lot, where=lot.id)
    # a sentence that names its lot is not said under the lot's name again
    return [replace(one, where="") if one.what.startswith("lot ") else one for one in faults]


@dataclass
class Board:
    """The records of a floor, open; threads may share it."""

    store: Store
    clocks: Clocks = field(default_factory=PlanClocks)
    silences: Sequence[Silence] = ()  #: in which nobody watched
    _events: list[Event] = field(default_factory=list)
    _read: int = 0
    _lock: threading.RLock = field(default_factory=threading.RLock)
    _kept: tuple[object, Floor] | None = None

    def last(self) -> int:
        """The number of the newest event."""
        return self.store.last()

    def events(self, now: datetime) -> list[Event]:
        """What was noted in the last fortnight, read on from where it was read to."""
        with self._lock:
            since = now - LOOKED_BACK if self._read == 0 else None
            for number, event in self.store.events(self._read, since=since):
                self._events.append(event)
                self._read = number
            if self._events and now - self._events[0].at > LOOKED_BACK + KEPT_LONGER:
                self._events = [one for one in self._events if now - one.at <= LOOKED_BACK]
            return list(self._events)

    def of_sheet(self, sheet: str) -> list[Event]:
        """Everything noted of one sheet, however long ago, with its corrections and the heat of its press meanwhile."""
        with self.store.reading() as db:
            return events_of_sheet(db, sheet)

    def orders_of(self, sheets: Sequence[str]) -> dict[str, str]:
        """By sheet the order that it was pressed for, where one is on record."""
        with self.store.reading() as db:
            return orders_of(db, sheets)

    def frozen(self, sheet: str) -> Frozen | None:
        """The recipe that a sheet was weighed or loaded by; None before that."""
        with self.store.reading() as db:
            return frozen_of(db, sheet)

    def floor(self, shop: Workshop, plan: Plan, now: datetime) -> tuple[int, Floor]:
        """What stands where, and the number of the newest event in it."""
        with self._lock:
            events = self.events(now)
            of = (self._read, id(shop), id(plan), now.replace(microsecond=0), self.clocks.answers)
            if self._kept is not None and self._kept[0] == of:
                return self._read, self._kept[1]
            made = None if plan is None else plan.get("made_at")
            counts = lately(events, now)
            there = self._situation(counts.events, shop, counts.plan(plan), now)
            found = floor_of(there, plan_id=made)
            self._kept = (of, found)
            return self._read, found

    def tap(self, event: Event, shop: Workshop, plan: Plan, now: datetime) -> TapAnswer:
        """Judge one tap and keep it, unless it is refused. A tap told a second time changes nothing."""
        with self._lock:
            events = self.events(now)
            known = next((one for one in events if one.id == event.id), None)
            if known is not None:
                return TapAnswer(outcome="accepted", event=known, say=("known already",))
            then = min(event.at, now)
            events = around(self.store, event, events)
            answer = judge(event, self._as_it_was(event, events, shop, plan, then, now))
            if answer.keep and (faults := self._untested(event, events, shop)):
                return TapAnswer(outcome="refused", event=event, faults=faults)
            if answer.keep:
                try:
                    self.store.append([event], _made_by([event], plan, shop))
                except Broken as error:  # a rule of the records: the tap is answered, whatever comes after it
                    answer = TapAnswer(outcome="refused", event=event, faults=error.faults)
            return answer if answer.keep else self._not_forgotten(answer, shop, now)

    def _not_forgotten(self, refused: TapAnswer, shop: Workshop, now: datetime) -> TapAnswer:
        """A weighing that happened before its lot was held is kept as a note, so that a recall finds its sheet.

        It is asked about: no weighing stands for it, and somebody has to find its charge.
        """
        note = note_of(refused.event, self.store, shop, now)
        if note is None:
            return refused
        self.store.append([note])
        lot = str(note.facts["lot"])
        fault = Fault(
            lot, "weighed before it was held, told only now", KEPT.format(sheet=note.sheet, lot=lot)
        )
        return replace(refused, outcome="asks", faults=(fault, *refused.faults))

    def _untested(self, event: Event, events: Sequence[Event], shop: Workshop) -> tuple[Fault, ...]:
        """Tests without which nobody releases a lot, by a tap or by putting another release right."""
        first = event
        while first.kind == "corrected":
            known = next((one for one in events if one.id == first.corrects), None)
            if known is None or known.id == first.id:
                break
            first = known
        lot = shop.lots.get(str(event.facts.get("lot")))
        return () if lot is None or first.kind != "released" else tuple(not_yet(self.store, lot))

    def _as_it_was(
        self,
        event: Event,
        events: Sequence[Event],
        shop: Workshop,
        plan: Plan,
        then: datetime,
        now: datetime,
    ) -> Situation:
        """How things stood just before an event; for one that is told late with everything that had counted then."""
        if now - then > TOLD_LATE:
            return self._situation(events, shop, plan, then, received=now)
        wanted = [one.sheet for one in events if one.id == event.corrects] + [event.sheet]
        counts = lately(events, now, wanted=[name for name in wanted if name is not None])
        return self._situation(counts.events, shop, counts.plan(plan), then, received=now)

    def _situation(
        self,
        events: Sequence[Event],
        shop: Workshop,
        plan: Plan,
        now: datetime,
        received: datetime | None = None,
    ) -> Situation:
        return situation(
            events,
            plan=plan,
            shop=shop,
            zone=zone_of(shop),
            clocks=self.clocks,
            lot_faults=lot_faults,
            now=now,
            received=received,
            silences=self.silences,
        )


def _made_by(events: Sequence[Event], plan: Plan, shop: Workshop) -> dict[str, Recipe]:
    """The recipe in force of each sheet that is weighed or loaded, to be frozen onto it."""
    sheets = {one.sheet for one in events if one.kind in ("weighed", "loaded") and one.sheet is not None}
    found = {name: recipe_in_force(name, plan, shop) for name in sheets}
    return {name: recipe for name, recipe in found.items() if recipe is not None}


def open_board(
    folder: Path,
    shop: Callable[[], Workshop],
    ready: Callable[[], None] = lambda: None,
    silences: Sequence[Silence] = (),
) -> Board:
    """The board of the workshop in `folder`, its clocks by the heat model. Raises `Refused` as `open_store` does.

    `ready` hears when a clock that was reckoned by the plan is known by the model; of `silences` it is asked whether
    the heat failed.
    """
    return Board(open_store(folder), clocks=HeatClocks(shop, ready), silences=silences)
