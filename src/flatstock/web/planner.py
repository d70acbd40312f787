"""Planning a week takes half a minute or more: it goes on beside the pages, one at a time."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field, replace
from datetime import datetime

from flatstock.actions.plans import keep_plan, plan_week
from flatstock.errors import Fault, UserError
from flatstock.workshop.shop import Workshop

__all__ = ["PlanWork", "Planner"]

SECONDS = 45.0


@dataclass(frozen=True, slots=True)
class PlanWork:
    """What the planner is at."""

    going: bool = False
    goals: tuple[tuple[str, float, float], ...] = ()  #: name, value, bound, as far as they are known
    faults: tuple[Fault, ...] = ()  #: of the last time


@dataclass
class Planner:
    """Plans in a thread of its own, for `seconds`."""

    seconds: float = SECONDS
    _work: PlanWork = field(default_factory=PlanWork)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def state(self) -> PlanWork:
        """What it is at."""
        return self._work

    def begin(self, shop: Workshop, now: datetime) -> bool:
        """Start, unless it goes on already; whether it did."""
        with self._lock:
            if self._work.going:
                return False
            self._work = PlanWork(going=True)
        threading.Thread(target=self._plan, args=(shop, now), daemon=True).start()
        return True

    def _plan(self, shop: Workshop, now: datetime) -> None:
        faults: tuple[Fault, ...] = ()
        try:
            keep_plan(shop, plan_week(shop, now=now, seconds=self.seconds, tell=self._hear))
        except UserError as error:
            faults = error.faults
        except Exception as error:  # a mistake of ours must not leave the page waiting for ever
            faults = (Fault("the plan", f"came upon something unforeseen ({error})", "pass this on"),)
        self._work = PlanWork(faults=faults)

    def _hear(self, name: str, value: float, bound: float) -> bool:
        known = {one[0]: one for one in self._work.goals} | {name: (name, value, bound)}
        self._work = replace(self._work, goals=tuple(known.values()))
        return False
