"""A process of its own for the solver: its crash, or Ctrl-C, costs nothing of what was found until then."""

from __future__ import annotations

import atexit
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from queue import Empty, SimpleQueue
from typing import Any

__all__ = ["NeverStarted", "Outside", "Tell", "close", "helper"]

LOOK = 0.1  #: s between looks at what was found, so that Ctrl-C is heard
GRACE = 3.0  #: s for a search that was told to stop

Tell = Callable[[Sequence[int], float, float], bool]


class NeverStarted(Exception):
    """The process ended before it could be asked anything."""


class Outside:
    """One solver process; used again for the next model."""

    def __init__(self) -> None:
        where = os.pathsep.join(path for path in sys.path if path)
        # Ctrl-C is for us alone
        apart: dict[str, Any] = {"start_new_session": True}
        if os.name == "nt":
            apart = {"creationflags": 0x200}  # CREATE_NEW_PROCESS_GROUP
        self.process = subprocess.Popen(
            [sys.executable, "-m", "flatstock.planning.solve.child"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": where},
            **apart,
        )
        self.heard: SimpleQueue[tuple[Any, ...] | None] = SimpleQueue()
        self.number, self.ready, self.gone = 0, False, False
        self.stopped, self.waited = False, 0.0  #: of the search that is under way
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        assert self.process.stdout is not None
        while True:
            try:
                self.heard.put(pickle.load(self.process.stdout))
            except (EOFError, OSError, ValueError, pickle.UnpicklingError):
                self.gone = True
                self.heard.put(None)
                return

    @property
    def alive(self) -> bool:
        """Whether it can be asked."""
        return not self.gone and self.process.poll() is None

    def _say(self, *words: Any) -> None:
        assert self.process.stdin is not None
        with suppress(OSError):  # it is gone: the end of its answers says so too
            pickle.dump(words, self.process.stdin)
            self.process.stdin.flush()

    def solve(self, model: str, settings: object, tell: Tell) -> object | None:
        """The answer; None where the process ended or gave none in time: what `tell` heard is what there is.

        Raises `NeverStarted`.
        """
        self.number += 1
        self.stopped, self.waited = False, 0.0
        self._say("solve", self.number, model, settings)
        while True:
            try:  # around the whole of the waiting: Ctrl-C may come between two looks
                return self._answer(tell)
            except KeyboardInterrupt:
                self._stop()

    def _stop(self) -> None:
        if not self.stopped:
            self.stopped = True
            self._say("stop", self.number)

    def _answer(self, tell: Tell) -> object | None:
        while True:
            try:
                word = self.heard.get(timeout=LOOK)
            except Empty:
                if self.gone:
                    self._ended()
                    return None
                self.waited += LOOK if self.stopped else 0.0
                if self.waited > GRACE:
                    self.end()
                    return None
                continue
            if word is None:
                self._ended()
                return None
            self.ready = True
            if word[1] != self.number:
                continue
            if word[0] == "ended":
                answer: object = word[2]
                return answer
            if tell(*word[2:]):
                self._stop()

    def _ended(self) -> None:
        """A process that never said a word is none."""
        if not self.ready:
            raise NeverStarted

    def end(self) -> None:
        """No more."""
        self.process.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None and not pipe.closed:
                with suppress(OSError):
                    pipe.close()


_kept: list[Outside] = []


def helper() -> Outside | None:
    """The solver process of this one; None where none can be started."""
    if _kept and not _kept[0].alive:
        _kept.pop().end()
    if not _kept:
        try:
            _kept.append(Outside())
        except OSError:
            return None
    return _kept[0]


@atexit.register
def close() -> None:
    """End the solver process, if there is one."""
    while _kept:
        _kept.pop().end()
