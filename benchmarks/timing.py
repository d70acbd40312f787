"""Medians of several runs, in this process and in fresh ones."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median

__all__ = ["fresh", "median_time"]

SOURCE = Path(__file__).parents[1] / "src"


def median_time(work: Callable[[], object], *, runs: int, budget: float = 20.0) -> float:
    """Median seconds of up to `runs` calls within `budget` seconds, after one that is not counted."""
    work()
    taken: list[float] = []
    while len(taken) < runs and (len(taken) < 1 or sum(taken) < budget):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return median(taken)


def fresh(words: Sequence[str], *, runs: int, **environment: str) -> float:
    """Median seconds of this Python as a new process with `words`, output thrown away."""
    taken = []
    path = os.pathsep.join(filter(None, [str(SOURCE), os.environ.get("PYTHONPATH", "")]))
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, *words],
            check=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=os.environ | {"PYTHONPATH": path} | environment,
        )
        taken.append(time.perf_counter() - start)
    return median(taken)
