"""Looking for where everything in a room can stand takes seconds, or a minute: it goes on beside the pages."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from flatstock.actions.room_kept import keep_room
from flatstock.actions.rooms import RoomOutcome, place_room
from flatstock.actions.workshops import Beside
from flatstock.errors import Fault, UserError

__all__ = ["RoomSearch", "RoomWork"]

SECONDS = (
    60.0  #: at most, for a first plan; `flatstock room` looks for the shortest walk as long as it is told
)

GRACE = 3.0  #: s that a search may take to end


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
    _of: object = None
    _work: RoomWork = field(default_factory=RoomWork)
    _stop: threading.Event = field(default_factory=threading.Event)
    _thread: threading.Thread | None = None
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def state(self, of: object) -> RoomWork:
        """What it is at for this room."""
        with self._lock:
            return self._work if self._of == of else RoomWork()

    def begin(self, of: object, folder: Path, beside: Beside, now: datetime) -> bool:
        """Look for a plan of this room, unless it does already; whether it begins."""
        with self._lock:
            if self._of == of and self._work.going:
                return False
            self._stop.set()  # of a room that is no longer
            self._stop, self._of = threading.Event(), of
            self._work = RoomWork(going=True, since=now)
            args = (folder, beside, now, self._stop)
            self._thread = threading.Thread(target=self._look, args=args, name="room", daemon=True)
            self._thread.start()
        return True

    def stop(self) -> None:
        """Look no further."""
        self._stop.set()

    def end(self) -> None:
        """The same before the program ends, so that no solver is at work while it is taken down."""
        self.stop()
        if self._thread is not None:
            self._thread.join(GRACE)

    def _look(self, folder: Path, beside: Beside, now: datetime, stop: threading.Event) -> None:
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
