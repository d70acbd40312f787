"""What time it is for the app: an instant at its start, and from there on time that nobody can set.

A system clock that is set while the app runs moves no mould's clock; the difference is shown instead. A
practice workshop stands on one day: its clock starts there, and where it stood is kept in the folder, so that
a killed server goes on where it would be.
"""

from __future__ import annotations

import contextlib
import json
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

__all__ = ["Clockwork", "anchored"]

FILE = "practice-clock.json"


def _true() -> datetime:
    return datetime.now(UTC)


def _passing() -> float:
    """Seconds that pass while the machine sleeps too, whatever its clock is set to."""
    for name in ("CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
        if hasattr(time, name):
            return time.clock_gettime(getattr(time, name))
    return time.monotonic()


@dataclass
class Clockwork:
    """`shows`: the moment that it shows when it is made; None: the true one."""

    shows: datetime | None = None
    true: Callable[[], datetime] = _true
    passing: Callable[[], float] = _passing
    _true_then: datetime = field(init=False)
    _passed_then: float = field(init=False)

    def __post_init__(self) -> None:
        self._true_then, self._passed_then = self.true(), self.passing()
        self.shows = self.shows or self._true_then

    def now(self) -> datetime:
        """The moment."""
        assert self.shows is not None
        return self.shows + timedelta(seconds=self.passing() - self._passed_then)

    def set_by(self) -> timedelta:
        """How far the system's clock was set since; to be shown where it is more than a few seconds."""
        return self.true() - self._true_then - timedelta(seconds=self.passing() - self._passed_then)


def anchored(
    folder: Path, start: datetime, *, afresh: bool = False, true: Callable[[], datetime] = _true
) -> datetime:
    """What the clock of a practice workshop shows by now: `start` the first time, later what has passed since.

    A folder that can't be written starts at `start` each time.
    """
    path = folder / FILE
    if not afresh:
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            kept = json.loads(path.read_text("utf-8"))
            passed = true() - datetime.fromisoformat(kept["true"])
            if passed >= timedelta(0):
                return datetime.fromisoformat(kept["shown"]) + passed
    with contextlib.suppress(OSError):
        path.write_text(json.dumps({"shown": start.isoformat(), "true": true().isoformat()}) + "\n", "utf-8")
    return start
