"""Cold starts: fresh processes, measured apart from computing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.table import Peer, Row
from benchmarks.timing import fresh
from flatstock import demo

__all__ = ["cold_rows"]


def cold_rows(*, quick: bool) -> Iterator[Row]:
    """Help, a card, and compiling everything once."""
    runs = 1 if quick else 9
    bare = Peer(name="this Python, doing nothing", seconds=fresh(["-c", "pass"], runs=runs))
    yield Row(
        work="--help, cold",
        seconds=fresh(["-m", "flatstock", "--help"], runs=runs),
        target=0.25,
        peers=(bare,),
        note="interpreter, cyclopts and rich",
    )
    if quick:
        return
    with TemporaryDirectory() as place:
        folder = str(Path(place) / "demo")
        demo.copy_to(Path(folder))
        card = ["-m", "flatstock", "card", folder, "--plastic", "HDPE", "--thickness", "12mm", "--json"]
        fresh(card, runs=1)
        yield Row(
            work="card, cold",
            seconds=fresh(card, runs=runs),
            target=1.5,
            peers=(
                Peer(
                    name="importing numba and numpy alone",
                    seconds=fresh(["-c", "import numba, numpy"], runs=runs),
                ),
            ),
            note="kernels from the cache on disk; includes the computing that the warm card's row shows",
        )
        cache = str(Path(place) / "kernels")
        yield Row(
            work="compiling every kernel, once after set-up",
            seconds=fresh(
                ["-m", "flatstock.heat.warm"], runs=1, FLATSTOCK_CACHE=cache, NUMBA_CACHE_DIR=cache
            ),
            note="into an empty folder; one run",
        )
