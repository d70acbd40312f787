"""Planning a week takes half a minute or more: it goes on beside the pages, one at a time."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from flatstock.actions.board import Event
from flatstock.actions.going_on import plan_on
from flatstock.actions.plans import NotInTime, keep_plan, plan_week
from flatstock.actions.weeks_ahead import MOST, weeks_to
from flatstock.errors import Fault, UserError
from flatstock.workshop.shop import Workshop

__all__ = ["PlanWork", "Planner"]

SECONDS = 45.0
AGAIN = timedelta(minutes=30)  #: after which a plan is caught up with once more; our own figure
#: s for the rest of a week under way: people wait; a machine that is too slow or busy for the first gets the next
SOON = (6.0, 24.0, 90.0)


@dataclass(frozen=True, slots=True)
class PlanWork:
    """What the planner is at."""

    going: bool = False
    goals: tuple[tuple[str, float, float], ...] = ()  #: name, value, bound, as far as they are known
    faults: tuple[Fault, ...] = ()  #: of the last time


@dataclass
class Planner:
    """Plans in a thread of its own; `told` hears of each plan that was kept."""

    seconds: float = SECONDS
    told: Callable[[], None] = lambda: None
    _work: PlanWork = field(default_factory=PlanWork)
    _next: tuple[Workshop, Callable[[], dict[str, Any]]] | None = None  #: to go on with what came meanwhile
    _caught_up: datetime | None = None  #: when it was last begun because the day had left the plan
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def state(self) -> PlanWork:
        """What it is at."""
        return self._work

    def may_catch_up(self, now: datetime) -> bool:
        """Whether it may plan on by itself because the day has left the plan: not while it plans, nor soon again."""
        caught = self._caught_up
        return not self._work.going and (caught is None or not timedelta(0) <= now - caught < AGAIN)

    def caught_up(self, now: datetime) -> None:
        """It does so at `now`."""
        self._caught_up = now

    def begin(self, shop: Workshop, now: datetime, *, until: datetime | None = None) -> bool:
        """Plan the week afresh, unless it plans already; whether it begins.

        `until`: the weeks after it too, to that of this moment; None: those that a first sheet takes.
        """
        weeks = None if until is None else min(MOST, weeks_to(until, now))
        return self._begin(
            shop, lambda: plan_week(shop, now=now, seconds=self.seconds, weeks=weeks, tell=self._hear)
        )

    def go_on(
        self, shop: Workshop, events: Sequence[Event], now: datetime, *, until: datetime | None = None
    ) -> bool:
        """Plan the rest of a week under way from what was noted; whether it begins now.

        Where a plan is being made already, that one does not know what came meanwhile: it is gone on from afterwards.
        `until`: the weeks after it too, to that of this moment. `now` counts as the end of its second, so that what was
        noted within that second has happened.
        """
        now = (now + timedelta(seconds=1)).replace(microsecond=0)

        def within(seconds: float) -> dict[str, Any]:
            return plan_on(
                shop,
                events,
                now=now,
                seconds=seconds,
                tell=self._hear,
                first=lambda quick: self._keep(shop, quick),
                until=until,
            )

        def plan() -> dict[str, Any]:
            for seconds in SOON[:-1]:
                with suppress(NotInTime):
                    return within(seconds)
            return within(SOON[-1])

        return self._begin(shop, plan, waits=True)

    def _begin(self, shop: Workshop, plan: Callable[[], dict[str, Any]], *, waits: bool = False) -> bool:
        with self._lock:
            if self._work.going:
                if waits:
                    self._next = (shop, plan)
                return False
            self._work = PlanWork(going=True)
        threading.Thread(target=self._plan, args=(shop, plan), daemon=True).start()
        return True

    def _plan(self, shop: Workshop, plan: Callable[[], dict[str, Any]]) -> None:
        faults: tuple[Fault, ...] = ()
        try:
            self._keep(shop, plan())
        except UserError as error:
            faults = error.faults
        except Exception as error:  # a mistake of ours must not leave the page waiting for ever
            faults = (Fault("the plan", f"came upon something unforeseen ({error})", "pass this on"),)
        with self._lock:
            following, self._next = self._next, None
            self._work = PlanWork(going=following is not None, faults=faults)
        self.told()
        if following is not None:
            self._plan(*following)

    def _keep(self, shop: Workshop, document: dict[str, Any]) -> None:
        keep_plan(shop, document)
        self.told()

    def _hear(self, name: str, value: float, bound: float) -> bool:
        known = {one[0]: one for one in self._work.goals} | {name: (name, value, bound)}
        self._work = replace(self._work, goals=tuple(known.values()))
        return False
