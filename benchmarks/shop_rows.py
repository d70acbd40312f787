"""Whole answers for the demo workshop, warm: a card with its bands, a wall chart's rows with theirs."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice, product
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.press_rows import engine
from benchmarks.table import Peer, Row
from benchmarks.timing import median_time
from flatstock import demo
from flatstock.plastics.library import library
from flatstock.pressing.bands import SAMPLES
from flatstock.pressing.card import answer_card
from flatstock.pressing.heating import Heating, heat
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rig import MouldSet
from flatstock.pressing.surface import FITTED
from flatstock.workshop.files import read
from flatstock.workshop.shop import Workshop

__all__ = ["shop_rows"]

PLASTICS = ("hdpe", "ldpe", "lldpe", "pp", "ps", "hips")
THICKNESSES = (0.004, 0.006, 0.008, 0.010, 0.012, 0.015, 0.018, 0.020)
OFFSETS = (-10.0, -5.0, 0.0, 5.0)  #: K on the set-point on file
CARD = CardQuestion(plastic="hdpe", thickness=0.012)


def _shop() -> Workshop:
    with TemporaryDirectory() as folder:
        demo.copy_to(Path(folder) / "demo")
        return read(Path(folder) / "demo")


def _heatings(shop: Workshop, *, quick: bool) -> Iterator[Heating]:
    """The hot press for every row of the chart, nothing computed yet."""
    press = next(iter(shop.hot_presses.values()))
    frame, skin = next(iter(shop.frames.values())), next(iter(shop.skins.values()))
    for name, thickness, offset in product(PLASTICS, THICKNESSES, OFFSETS):
        plastic = library()[name]
        if plastic.process is None or plastic.process.set_point is None or plastic.thermal is None:
            raise ValueError(f"{name} has no data for a card")
        yield heat(
            plastic,
            press=press,
            mould=MouldSet(frame=replace(frame, thickness=thickness), skin=skin),
            room=18.0,
            set_point=plastic.process.set_point.value + offset,
            thickness=thickness,
            mass=plastic.thermal.density.value * thickness,
            moisture=0.0,
            quick=quick,
        )


def _answer(heatings: Iterator[Heating]) -> int:
    """Dwell and latest dwell with their bands, one after the other; how many."""
    return sum(1 for one in heatings if (one.dwell, one.dwell_latest))


def shop_rows(*, quick: bool) -> Iterator[Row]:
    """Card and wall chart."""
    shop = _shop()
    column = median_time(lambda: engine(0.012, 20, 1.0), runs=5 if quick else 100)
    yield Row(
        work=f"card with its band of {SAMPLES} columns",
        seconds=median_time(lambda: answer_card(shop, CARD), runs=3 if quick else 30),
        target=30e-3,
        setting="bands on 20 cells, bias divided out",
        peers=(
            Peer(
                name=f"{SAMPLES} press cycles one after the other",
                seconds=SAMPLES * column,
                setting=f"{SAMPLES} times one cycle measured here",
            ),
        ),
        note="whole document: hot press, three moulds in the cooling press, flash, each with its band; a thread a core",
    )
    rows = 4 if quick else len(PLASTICS) * len(THICKNESSES) * len(OFFSETS)
    whole = 2 if quick else 12
    _answer(islice(_heatings(shop, quick=True), 2))
    start = time.perf_counter()
    _answer(islice(_heatings(shop, quick=True), rows))
    taken = time.perf_counter() - start
    every = rows // whole
    start = time.perf_counter()
    _answer(islice(_heatings(shop, quick=False), 0, rows, every))
    computed = (time.perf_counter() - start) / whole * rows
    yield Row(
        work=f"wall chart, {rows} rows with bands",
        seconds=taken,
        target=5.0,
        setting=f"surface fitted to {FITTED} columns a row",
        peers=(
            Peer(
                name=f"all {SAMPLES} columns of each row computed",
                seconds=computed,
                setting=f"{whole} rows measured, scaled to {rows}",
            ),
        ),
        note="6 plastics x 8 thicknesses x 4 set-points; one run; dwell and latest dwell, melt-through on 48 cells",
    )
