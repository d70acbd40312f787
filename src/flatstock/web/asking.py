"""A promise for a new order takes a minute or more: it is worked out beside the pages, one at a time."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from flatstock.actions.promises import Wanted, promise
from flatstock.errors import Fault, OutOfRange, UserError
from flatstock.workshop.shop import Workshop

__all__ = ["AskWork", "Asking"]

FIRST = "working out the new sheets, then looking for room between what is promised"
SECONDS = 20.0  #: of looking in each stretch of weeks, as the command has it


@dataclass(frozen=True, slots=True)
class AskWork:
    """What is being asked, or the last answer."""

    going: bool = False
    wanted: Wanted | None = None
    since: datetime | None = None
    stage: str = ""  #: what the search is at
    found: int = 0  #: plans found so far
    stopping: bool = False
    stopped: bool = False  #: the answer is what was found until somebody stopped it
    document: Mapping[str, Any] | None = None  #: `flatstock.promise/1`
    faults: tuple[Fault, ...] = ()


@dataclass
class Asking:
    """Asks in a thread of its own."""

    seconds: float = SECONDS
    _work: AskWork = field(default_factory=AskWork)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def state(self) -> AskWork:
        """What it is at."""
        return self._work

    def begin(self, shop: Workshop, wanted: Wanted, now: datetime) -> bool:
        """Ask, unless something is asked already; whether it begins."""
        with self._lock:
            if self._work.going:
                return False
            self._work = AskWork(
                going=True,
                wanted=wanted,
                since=now,
                stage=FIRST,
            )
        threading.Thread(target=self._ask, args=(shop, wanted, now), daemon=True).start()
        return True

    def stop(self) -> None:
        """Take what is found so far."""
        with self._lock:
            if self._work.going:
                self._work = replace(self._work, stopping=True)

    def _ask(self, shop: Workshop, wanted: Wanted, now: datetime) -> None:
        document: Mapping[str, Any] | None = None
        faults: tuple[Fault, ...] = ()
        try:
            document = promise(shop, wanted, now=now, seconds=self.seconds, tell=self._hear)
        except UserError as error:
            faults = error.faults
        except OutOfRange as error:
            faults = (Fault("the order", str(error), "ask for something nearer to usual"),)
        except Exception as error:  # a mistake of ours must not leave the page waiting for ever
            faults = (Fault("the promise", f"came upon something unforeseen ({error})", "pass this on"),)
        with self._lock:
            self._work = AskWork(
                wanted=wanted, since=now, stopped=self._work.stopping, document=document, faults=faults
            )

    def _hear(self, name: str, *_: float) -> bool:
        with self._lock:
            trying = name == "trying"
            self._work = replace(
                self._work,
                stage="trying what would make it sooner"
                if trying
                else "looking for room between what is promised",
                found=self._work.found + (not trying),
            )
            return self._work.stopping
