"""Compile the kernels once, with progress: what set-up runs after installing (`python -m flatstock.heat.warm`)."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from flatstock.heat.cache import fingerprint, use_cache

__all__ = ["is_warm", "warm"]


def _parts() -> Iterator[tuple[str, Callable[[], object]]]:
    """What to load or run so that everything a card and a stack need is compiled, in words."""

    def load(module: str) -> Callable[[], object]:
        return lambda: __import__(module)

    yield "laws of a plastic", load("flatstock.heat.laws")
    if _uncompiled():  # then there is nothing that works on several columns
        yield "march through time", load("flatstock.heat.march")
        return
    with _beside("flatstock.heat.lane_march") as done:
        yield "march through time", load("flatstock.heat.march")
        yield "columns side by side", done
    yield "rows and stacks", _batches


@contextmanager
def _beside(module: str) -> Iterator[Callable[[], object]]:
    """Load a module in a process of its own, for the cache that it leaves; what is given waits until it is there.

    With it, two kernels that take the most of it are compiled at a time. A process that fails, or isn't allowed, costs
    nothing but time: what it has not compiled is compiled here when it is used.
    """
    where = os.pathsep.join(path for path in sys.path if path)
    try:
        other = subprocess.Popen(
            [sys.executable, "-c", f"import {module}"],
            env=os.environ | {"PYTHONPATH": where},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
    except OSError:
        yield lambda: None
        return
    try:
        yield other.wait
    finally:
        other.kill()
        other.wait()


def _uncompiled() -> bool:
    """Whether numba has been told to leave kernels as they are (NUMBA_DISABLE_JIT); it is loaded by then."""
    from numba import config

    return bool(config.DISABLE_JIT)  # type: ignore[attr-defined]  # numba sets its settings when it is loaded


def _batches() -> None:
    import numpy as np

    from flatstock.heat import layers as h
    from flatstock.heat.batch import Varied, cold_rows, hot_cycles
    from flatstock.heat.batch_stack import stacks
    from flatstock.heat.pile import Pile, lay_out
    from flatstock.heat.polymer import Polymer

    plastic = Polymer(
        density=950, solid_volume_slope=4e-7, melt_volume_180=1.3e-3, melt_volume_slope=1e-6, solid_cp_23=2000,
        solid_cp_slope=0, melt_cp_180=2500, melt_cp_slope=0, latent=2e5, latent_at=130, melting_onset=120,
        melting_end=135, freezing_end=110, freezing_onset=125, solid_k_23=0.4, solid_k_slope=0, melt_k_180=0.25,
    )  # fmt: skip
    steel = h.metal(h.MILD_STEEL, thickness=0.002, temperature=190.0)
    out = h.Outside(kind="film", film=8.0)
    joint = h.Joint.fixed(500.0)
    pile = Pile(
        (steel, h.sheet(plastic, mass=3.0, temperature=20.0, cells=6), steel), (joint, joint), out, out, 20.0
    )
    layout = lay_out(pile)
    one = Varied(
        layout.polymers[None], layout.joints[None], layout.ends[None], layout.heaters[None], np.ones(1)
    )
    common = {"room": 20.0, "tolerance": 1.0}
    hot_cycles(layout, one, melt_level=60.0, dose_level=10.0, face_level=300.0, activation=1e5, close_after=0.0,
               longest=20.0, grid=np.linspace(0.0, 10.0, 3), **common)  # fmt: skip
    cold_rows(layout, one, moulds=2, level=60.0, every=20.0, plate_cells=1, **common)
    stacks(layout, one, plate_cells=(0, 0), cells_per_mould=8, arrivals=np.zeros(1), end=20.0, levels=np.array([60.0]),
           asked=10.0, **common)  # fmt: skip


def warm(say: Callable[[str], None] = lambda _: None) -> float:
    """Compile or load every kernel; returns the seconds it took. `say` hears what is being done."""
    start = time.perf_counter()
    for words, work in _parts():
        say(words)
        work()
    with suppress(OSError):
        _mark().touch()
    return time.perf_counter() - start


def is_warm() -> bool:
    """Whether these kernels were compiled here before; numba itself is not loaded for it."""
    return _mark().exists()


def _mark() -> Path:
    """What stands in the folder of the compiled kernels once all of them are there."""
    use_cache()
    return Path(os.environ["NUMBA_CACHE_DIR"]) / f"compiled-{fingerprint()}"


if __name__ == "__main__":
    taken = warm(lambda words: print(f"compiling: {words}", file=sys.stderr, flush=True))  # noqa: T201
    print(f"kernels ready after {taken:.0f} s", file=sys.stderr)  # noqa: T201
