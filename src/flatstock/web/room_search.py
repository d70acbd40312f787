"""Looking for where everything in a room can stand takes seconds, or a minute: it goes on beside the pages.

A first plan that passes is shown as soon as it is there; then one that walks less is looked for, and kept.
"""

from __future__ import annotations

import logging
import threading
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from flatstock.actions.room_kept import keep_room
from flatstock.actions.rooms import RoomOutcome, place_room
from flatstock.actions.workshops import Beside
from flatstock.errors import Fault, UserError

__all__ = ["RoomSearch", "RoomWork"]

SECONDS = 60.0  #: at most, for a first plan and once more for a shorter walk; `flatstock room` has its own

_log = logging.getLogger("flatstock.web")


@dataclass(frozen=True, slots=True)
class RoomWork:
    """What the search is at."""

    going: bool = False
    since: datetime | None = None
    stopped: bool = False  #: somebody has stopped it, so that nothing is said of the room
    outcome: RoomOutcome | None = None
    faults: tuple[Fault, ...] = ()

    @property
    def untouched(self) -> bool:
        """Nobody has looked yet."""
        return self == RoomWork()


@dataclass
class RoomSearch:
    """Looks in a thread of its own, for one room at a time; `of` tells one room from another.

    When room.toml has changed meanwhile, what is found is of another room: it is let go, and the next one looked for.
    """

    seconds: float = SECONDS
    shortens: bool = True  #: goes on by itself after a first plan
    _of: object = None
    _work: RoomWork = field(default_factory=RoomWork)
    _stop: threading.Event = field(default_factory=threading.Event)
    _thread: threading.Thread | None = None
    _shortening: bool = False
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def state(self, of: object) -> RoomWork:
        """What it is at for this room."""
        with self._lock:
            return self._work if self._of == of else RoomWork()

    @property
    def shortening(self) -> bool:
        """Whether a plan is there and a shorter walk is being looked for."""
        return self._shortening

    def begin(
        self, of: object, folder: Path, beside: Beside, now: datetime, known: RoomOutcome | None = None
    ) -> bool:
        """Look for a plan of this room, unless it does already; whether it begins. `known`: for one that walks less."""
        with self._lock:
            if self._of == of and (self._work.going or self._shortening):
                return False
            self._stop.set()  # of a room that is no longer
            self._stop, self._of = threading.Event(), of
            self._work = RoomWork(going=known is None, since=now, outcome=known)
            self._shortening = known is not None
            args = (folder, beside, now, self._stop, known)
            # no daemon, nor what it starts: Python waits for them, or the solver would meet an interpreter that is gone
            self._thread = threading.Thread(target=self._look, args=args, name="room", daemon=False)
            self._thread.start()
        return True

    def stop(self) -> None:
        """Look no further."""
        self._stop.set()

    def end(self) -> None:
        """The same before the program ends, and wait until it has: no solver is at work while it is taken down."""
        self.stop()
        if self._thread is not None:
            self._thread.join()

    def _look(
        self,
        folder: Path,
        beside: Beside,
        now: datetime,
        stop: threading.Event,
        known: RoomOutcome | None,
    ) -> None:
        outcome = known or self._first(folder, beside, now, stop)
        if outcome is not None and self._shortening and not stop.is_set():
            self._shorten(folder, beside, now, stop, outcome)

    def _shorten(
        self, folder: Path, beside: Beside, now: datetime, stop: threading.Event, known: RoomOutcome
    ) -> None:
        """Keep a plan that walks less; whatever goes wrong, the one that is known stays."""
        try:
            found = place_room(folder, beside, seconds=self.seconds, stop=stop.is_set, made_at=now)
            walks = [one.document["walk_m_per_day"] for one in (found, known)]
            if found.plan is not None and walks[0] is not None and walks[0] <= (walks[1] or walks[0]):
                keep_room(folder, found)  # with its bound, even where it walks as far
        except Exception as error:
            _log.exception("no shorter walk was found", exc_info=error)
        finally:
            with self._lock:
                if self._stop is stop:
                    self._shortening = False

    def _first(
        self, folder: Path, beside: Beside, now: datetime, stop: threading.Event
    ) -> RoomOutcome | None:
        """The first plan that passes; None: none, and the pages are told why."""
        outcome: RoomOutcome | None = None
        faults: tuple[Fault, ...] = ()
        try:
            outcome = place_room(
                folder, beside, seconds=self.seconds, first=True, stop=stop.is_set, made_at=now
            )
            if not stop.is_set():
                keep_room(folder, outcome)
        except UserError as error:
            faults = error.faults
        except Exception as error:  # a mistake of ours must not leave the page waiting for ever
            faults = (Fault("the room", f"came upon something unforeseen ({error})", "pass this on"),)
        stopped = stop.is_set() and (outcome is None or outcome.plan is None)
        with self._lock:
            if self._stop is stop:
                found = None if stopped else outcome
                self._work = RoomWork(since=now, stopped=stopped, outcome=found, faults=faults)
                shorten = (
                    self.shortens and found is not None and found.document["proof"]["status"] == "feasible"
                )
                self._shortening = shorten and not stop.is_set()
                return found
        return None
