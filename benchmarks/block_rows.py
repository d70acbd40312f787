"""Public block layouts by the room's own terms, beside the least costs known."""

from __future__ import annotations

import time
from collections.abc import Iterator

from benchmarks.block_layout import lay_out
from benchmarks.block_sets import BEST, FROM_MEMORY, layout_of
from benchmarks.table import Row

__all__ = ["block_rows"]


def block_rows(*, quick: bool) -> Iterator[Row]:
    """One row a layout, each with a minute."""
    for name, best in list(BEST.items())[: 1 if quick else None]:
        began = time.perf_counter()
        found = lay_out(layout_of(name), seconds=3 if quick else 60)
        known = f"{best:.4f}" + (" (from memory)" if name in FROM_MEMORY else "")
        cost = "none found" if found.cost is None else f"cost {found.cost:.4f}"
        yield Row(
            work=f"blocks {name}",
            seconds=time.perf_counter() - began,
            error=None if found.cost is None else max(0.0, found.cost / best - 1),
            setting=f"{cost}, bound {max(0.0, found.bound):.4f}; least known: {known}",
            note="one run; the error is what it costs more than the least known",
        )
