"""How often something may be tried: a few times at once, then at a steady pace."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

__all__ = ["Limit"]

MOST_KEYS = 5000  #: remembered at once; the one not seen longest goes first


@dataclass
class Limit:
    """`burst` tries at once, one more every `every` seconds."""

    burst: int
    every: float
    clock: Callable[[], float] = time.monotonic
    _left: OrderedDict[str, tuple[float, float]] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def allows(self, key: str) -> bool:
        """Count one try of `key`; False where it has to wait."""
        with self._lock:
            left, then = self._left.pop(key, (float(self.burst), self.clock()))
            now = self.clock()
            left = min(float(self.burst), left + (now - then) / self.every)
            allowed = left >= 1.0
            self._left[key] = (left - 1.0 if allowed else left, now)
            while len(self._left) > MOST_KEYS:
                self._left.popitem(last=False)
            return allowed

    def forgive(self, key: str) -> None:
        """The try was right: none of its tries counts any more."""
        with self._lock:
            self._left.pop(key, None)
