"""The app's sign of life, kept beside the workshop's files: after a stop it says from when to when nobody watched.

Where the machine lost its current the presses may have lost theirs; the board asks, and does not take it for granted.
"""

from __future__ import annotations

import contextlib
import json
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from flatstock.running.silence import Silence
from flatstock.web.workplace import Workplace

__all__ = ["Awake"]

FILE = "last-awake.json"
EVERY = 10.0  #: s between two signs
LONG = timedelta(
    minutes=1
)  #: a stop that is shorter is a restart, and the dwell's band covers it; our own figure
KEPT = 20  #: silences that are remembered, should one not be explained before the next


@dataclass
class Awake:
    """A thread that gives a sign. A folder that can't be written gives none, and then nothing is asked."""

    place: Workplace
    every: float = EVERY
    _silences: list[Silence] = field(init=False, default_factory=list)
    _ends: threading.Event = field(init=False, default_factory=threading.Event)
    _thread: threading.Thread | None = field(init=False, default=None)

    def silences(self) -> Sequence[Silence]:
        """Those before this start, by the shop's clock; a file that can't be read tells none."""
        now = self.place.now()
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            told = json.loads(self._path().read_text("utf-8"))
            found = [
                Silence(since=datetime.fromisoformat(since), until=datetime.fromisoformat(until))
                for since, until in told["silences"]
            ]
            last = datetime.fromisoformat(told["awake"])
            if now - last > LONG:
                found.append(Silence(since=last, until=now))
            self._silences = found[-KEPT:]
        return tuple(self._silences)

    def begin(self) -> None:
        """A sign now, and from now on."""
        self.sign()
        self._thread = threading.Thread(target=self._run, name="sign of life", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """A last sign: what the floor does from here on nobody watches."""
        self._ends.set()
        if self._thread is not None:
            self._thread.join(5)
        self.sign()

    def sign(self) -> None:
        """Awake at this moment."""
        if not self.place.started:
            return
        said = {
            "awake": self.place.now().isoformat(),
            "silences": [[one.since.isoformat(), one.until.isoformat()] for one in self._silences],
        }
        half = self._path().with_suffix(".part")
        with contextlib.suppress(OSError):
            half.write_text(json.dumps(said) + "\n", "utf-8")
            half.replace(self._path())

    def _path(self) -> Path:
        return self.place.folder / FILE

    def _run(self) -> None:
        while not self._ends.wait(self.every):
            self.sign()
