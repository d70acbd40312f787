"""Everything of one lot: what it is, its tests, who gave it its status, its book, and what holds some of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from flatstock.actions.board import lot_faults
from flatstock.actions.lot_book import StatusEntry, count_lot
from flatstock.actions.lot_tests import LotTest, release_faults, tests_of, told_tests
from flatstock.errors import Fault, Refused
from flatstock.intake.weighing import Stock, against_scale
from flatstock.records.book import BookEntry, entries_of, weighed_since_count
from flatstock.records.lots import history, is_on_record
from flatstock.records.store import Store
from flatstock.workshop.shop import Lot, Workshop

__all__ = ["LotPage", "Stock", "check_stock", "next_lot_name", "page_of_lot", "take_over_scale"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPage:
    """One lot as its page shows it."""

    lot: Lot
    tests: tuple[LotTest, ...]
    history: tuple[StatusEntry, ...]  #: newest first
    book: tuple[BookEntry, ...]  #: newest first
    holds: tuple[Fault, ...]  #: what keeps it from being released; empty: a person may release it
    rules: tuple[Fault, ...]  #: those of them that no test's result lifts by itself
    step: float | None  #: of the scale that it is counted on [kg]

    @property
    def missing(self) -> int:
        """Tests that are not in."""
        return sum(one.result is None for one in self.tests)

    @property
    def untested(self) -> int:
        """Tests that keep it from being released."""
        return len(self.holds) - len(self.rules)


def page_of_lot(store: Store, shop: Workshop, name: str) -> LotPage:
    """One lot. Raises `Refused` where there is none."""
    lot = _lot(shop, name)
    tests = tests_of(lot, told_tests(store, name))
    with store.reading() as db:
        there = is_on_record(db, name)
        past = history(db, name) if there else []
        book = entries_of(db, name) if there else []
    before = lot.status == "released" or any(one.status == "released" for one in past)
    freed = replace(lot, status="released")
    rules = lot_faults(replace(shop, lots={**shop.lots, name: freed}), name)
    return LotPage(
        lot=lot,
        tests=tests,
        history=tuple(reversed(past)),
        book=tuple(book),
        holds=(*release_faults(lot, tests, released_before=before), *rules),
        rules=tuple(rules),
        step=max((one.step for one in shop.scales), default=None),
    )


def check_stock(store: Store, shop: Workshop, name: str, on_scale: float) -> Stock:
    """A lot by the book and on the scale [kg], nothing written. Raises `Refused`."""
    lot = _lot(shop, name)
    step = max((one.step for one in shop.scales), default=None)
    if step is None:
        raise Refused(
            Fault("scales", "no scale is on file", "write one, with its step, in the shop's set-up")
        )
    if not 0 <= on_scale < 1e6:
        raise Refused(Fault("mass", f"{on_scale:g} kg is no mass of a lot", "read the scale again"))
    with store.reading() as db:
        weighed = weighed_since_count(db, name) if is_on_record(db, name) else ()
    return against_scale(received=lot.mass + sum(weighed), weighed=weighed, scale=on_scale, step=step)


def take_over_scale(
    folder: Path,
    name: str,
    on_scale: float,
    *,
    at: datetime,
    who: Sequence[str],
    device: str | None,
    told: str | None = None,
) -> float:
    """Set the book to what the scale says [kg]; what it was off by. See `count_lot`."""
    return count_lot(folder, name, on_scale, at=at, who=who, device=device, told=told)


def next_lot_name(shop: Workshop) -> str:
    """A name that follows on from the newest: L-2309 is followed by L-2310."""
    numbered = []
    for name in shop.lots:
        stem = name.rstrip("0123456789")
        if stem != name:
            numbered.append((int(name[len(stem) :]), stem, len(name) - len(stem)))
    if not numbered:
        return "L-1"
    number, stem, wide = max(numbered)
    return f"{stem}{number + 1:0{wide}d}"


def _lot(shop: Workshop, name: str) -> Lot:
    if name not in shop.lots:
        known = ", ".join(sorted(shop.lots)) or "none"
        raise Refused(Fault("lot", f"no lot is called {name!r}", f"there are {known}"))
    return shop.lots[name]
