"""The floor as the app has it: its records opened when they are first needed, its plan as it is kept."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from flatstock.actions.board import Board, Event, Floor, TapAnswer, open_board
from flatstock.actions.kept import Document, kept_plan
from flatstock.actions.sheet_record import SheetRecord, record_of
from flatstock.errors import Fault, Refused
from flatstock.running.silence import Silence
from flatstock.web.workplace import Workplace

__all__ = ["Floorwork"]

NOWHERE = "there are no records to note in; week, orders, cards and the night's stack are read from the files meanwhile"


@dataclass
class Floorwork:
    """One floor, for every page of one server."""

    place: Workplace
    told: Callable[[], None] = lambda: (
        None
    )  #: hears when the board shows something else though nothing was noted
    silences: Sequence[Silence] = ()  #: in which this app was not running
    #: whoever looks before noting has it meanwhile, so that nobody else notes in between
    turn: threading.Lock = field(init=False, default_factory=threading.Lock)
    _board: Board | None = field(init=False, default=None)
    _plan: tuple[object, Document | None] = field(init=False, default=((), None))
    _answers: int = field(init=False, default=0)
    _start: int = field(
        init=False, default_factory=time.time_ns
    )  #: sets its answers apart from another start's
    _lock: threading.Lock = field(init=False, default_factory=threading.Lock)

    def board(self) -> Board:
        """The records, open. Raises `Refused` where there are none and none can be begun, with why."""
        with self._lock:
            if self._board is None:
                if self.place.living() is None and self.place.trouble:
                    raise Refused(Fault("board", NOWHERE, self.place.trouble.rstrip(".")))
                self._board = open_board(self.place.folder, self.place.shop, self._ready, self.silences)
            return self._board

    def plan(self) -> Document | None:
        """The kept plan, read again where it has changed; None where there is none that can be read."""
        stamp = self.plan_stamp()
        with self._lock:
            if self._plan[0] != stamp or stamp == ():
                try:
                    found = kept_plan(self.place.folder) if stamp else None
                except Refused:
                    found = None
                self._plan = (stamp, found)
            return self._plan[1]

    def plan_stamp(self) -> tuple[int, ...]:
        """What changes when another plan is kept."""
        try:
            stat = (Path(self.place.folder) / "plan.json").stat()
        except OSError:
            return ()
        return stat.st_mtime_ns, stat.st_size

    def mark(self) -> str:
        """What changes when the board shows something else though nothing was noted: another plan, an answer."""
        return ".".join(str(part) for part in (self._start, *self.plan_stamp(), self._answers))

    def _ready(self) -> None:
        self._answers += 1
        self.told()

    def floor(self) -> tuple[int, Floor]:
        """The number of the newest event, and what stands where now."""
        shop = self.place.shop()  # first: records are made only beside a workshop
        return self.board().floor(shop, self.plan(), self.place.instant())

    def away(self) -> list[str]:
        """Who of the shop is not here now."""
        here = self.floor()[1].here
        return [person for person in self.place.shop().people if person not in here]

    def begun(self) -> set[str]:
        """Sheets that have been laid into a press, or were given up."""
        events = self.board().events(self.place.instant())
        return {one.sheet for one in events if one.sheet and one.kind in ("loaded", "scrapped")}

    def record(self, sheet: str) -> SheetRecord:
        """Everything on record of a sheet. Raises `Refused` where nothing is."""
        shop, board = self.place.shop(), self.board()
        return record_of(
            sheet, board.of_sheet(sheet), self.plan(), shop, board.frozen(sheet), now=self.place.instant()
        )

    def tap(self, events: Sequence[Event]) -> list[TapAnswer]:
        """Each tap judged and kept in turn."""
        shop, plan, board = self.place.shop(), self.plan(), self.board()
        return [board.tap(one, shop, plan, self.place.instant()) for one in events]

    def last(self) -> int:
        """The number of the newest event; 0 before a workshop is started."""
        return self.board().last() if self.place.started else 0

    def close(self) -> None:
        """Give the records back."""
        with self._lock:
            if self._board is not None:
                self._board.store.close()
                self._board = None
