"""A copy of the records every hour while the app serves, beside its pages."""

from __future__ import annotations

import logging
import threading
from dataclasses import dataclass, field
from datetime import UTC, datetime

from flatstock.actions.copies import copy_if_due
from flatstock.errors import UserError
from flatstock.web.workplace import Workplace

__all__ = ["Copying"]

LOOKED = 60.0  #: s between two looks whether an hour has passed since the newest copy
_log = logging.getLogger("flatstock.web")


@dataclass
class Copying:
    """A thread that copies; `trouble` says why the last copy failed, empty where it did not."""

    place: Workplace
    every: float = LOOKED
    trouble: str = field(init=False, default="")
    _ends: threading.Event = field(init=False, default_factory=threading.Event)
    _thread: threading.Thread | None = field(init=False, default=None)

    def begin(self) -> None:
        """From now on."""
        self._thread = threading.Thread(target=self._run, name="copies", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """A copy that is being made is finished first."""
        self._ends.set()
        if self._thread is not None:
            self._thread.join(30)

    def look(self) -> None:
        """Copy where it is time."""
        living = self.place.living() if self.place.started else None
        if living is None:
            return
        try:
            copy_if_due(living.store, datetime.now(UTC))
            said = ""
        except UserError as error:
            said = str(error)
        if said and said != self.trouble:
            _log.warning("no copy of the records: %s", said)
        self.trouble = said

    def _run(self) -> None:
        while not self._ends.is_set():
            try:
                self.look()
            except Exception:  # whatever it is, the next look is in a minute
                _log.exception("a copy of the records failed")
            self._ends.wait(self.every)
